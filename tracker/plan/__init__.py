"""The next practice and the season block: from where the squad stands to a practice run off one set-up."""
