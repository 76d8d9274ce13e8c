"""Names and sentences for the keys that the layers below find."""
