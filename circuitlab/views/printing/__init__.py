"""What leaves the screen: files that are printed, and the print twin of the time chart."""
