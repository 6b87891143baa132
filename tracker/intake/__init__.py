"""Files in and out: CSV and Parquet become polars frames, and frames become files. Never sees the database."""
