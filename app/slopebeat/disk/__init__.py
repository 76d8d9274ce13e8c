"""Files on disk: opened only where they are files, and written whole or not at all."""
