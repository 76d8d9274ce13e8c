"""What can be doubted in a recording, and the smoothed elevation and movement it is read with."""
