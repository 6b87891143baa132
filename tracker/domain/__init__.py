"""The words of the trade: feet, outcomes, stages, strikes. Imports nothing of ours but errors."""
