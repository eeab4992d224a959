"""Everything that can be wrong by a degree: no Qt in here."""
