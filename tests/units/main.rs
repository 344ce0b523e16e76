//! Quantities with units, the readers of parameter files, and their messages.

mod conversions;
mod curve;
mod faults;
mod files;
mod messages;
mod readers;
mod twice;
