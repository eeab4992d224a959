"""What a person does with the parts: take a clip in, read positions, check, see the way, the demo."""
