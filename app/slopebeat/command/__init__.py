"""The front without a window: commands that review files and print answers."""
