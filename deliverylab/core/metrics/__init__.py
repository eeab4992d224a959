"""What is measured: definitions as data, their evaluation, and when a result may be shown."""
