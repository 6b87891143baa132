"""The pages of the dashboard: they collect input, call ``tracker.review`` and show what it answers; nothing else."""
