"""Project files on disk: their form, versions, safe writing, recovery copies, references to clips."""
