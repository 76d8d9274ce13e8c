"""The main window, its docks, tables and dialogs."""
