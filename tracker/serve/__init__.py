"""The web process: one process that holds the database and serves the dashboard."""
