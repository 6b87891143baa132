"""Strike Ladder: accuracy and readiness for a youth finishing block. Importing this loads nothing else."""

__version__ = "0.1.0"
