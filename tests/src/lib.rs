//! Nothing but a home for the test binary in `suite/` and for the tools in `bin/`.
