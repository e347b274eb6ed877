"""Words in and beside pictures, pages and files; no drawing enters."""
