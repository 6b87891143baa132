"""The numbers: arrays in, frozen results out. Knows nothing of storage, screens or files."""
