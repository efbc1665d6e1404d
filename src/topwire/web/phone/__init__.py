"""What a phone in the rows reaches: an application of its own, with the row sheets and notes and nothing else."""
