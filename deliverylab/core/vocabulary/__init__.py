"""The trade's named things as tables: landmarks, segments, events, views, field."""
