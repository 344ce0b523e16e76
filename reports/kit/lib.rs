//! What answers are set with: words for a terminal, pictures, pages and the tables in them. It
//! knows no engine and no command.

pub mod figure;
pub mod look;
pub mod page;
pub mod text;
