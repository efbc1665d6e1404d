"""Many places: the same questions asked of hundreds or thousands of them, on this machine or a cluster."""
