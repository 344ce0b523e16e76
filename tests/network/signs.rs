//! Signs (stand-in).
