"""A coach's questions: one function a question, answered with a frozen dataclass or a polars frame."""
