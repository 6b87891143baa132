"""The database: the only place that opens DuckDB. Every statement longer than a line is a file in ``sql/``."""
