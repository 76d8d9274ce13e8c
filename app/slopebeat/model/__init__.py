"""The words of the trade as plain data: recordings, spans, bands, marks, units. No files, no window."""
