"""What the pages share: remembered choices, messages, safe names, the look."""
