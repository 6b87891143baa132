"""What a person reads: words, tables and pictures, the same on screen and on paper."""
