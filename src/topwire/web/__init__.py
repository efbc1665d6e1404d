"""The page on this machine: what the Sheets hold, shown and changed in a browser."""
