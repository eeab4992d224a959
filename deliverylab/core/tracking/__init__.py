"""Finding things in pictures: the ball in flight, landmarks."""
