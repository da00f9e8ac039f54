"""Pages beside the benches: glossary, cautions, sources, the garage file, a data sheet."""
