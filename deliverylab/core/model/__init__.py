"""What a project holds: frozen values, and changes that turn one into the next."""
