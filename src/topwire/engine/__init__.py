"""Runs the steps in their order and holds the result, the Orchard."""
