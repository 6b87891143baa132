"""Pages for paper: season reports and sheets, set by Typst from templates, with names as data and never as markup."""
