"""Parts of sentences that several replies share; no whole reply enters."""
