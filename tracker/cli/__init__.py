"""The command ``strikeladder``: collects what was asked, calls, prints. Commands import what they need as they run."""
