"""Words of what the layers without words find: names of keys, sentences of errors and of what a file says."""
