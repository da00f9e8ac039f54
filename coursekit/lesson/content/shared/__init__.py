"""What several benches work on: invented colours, solvents, a sanded piece, one coat."""
