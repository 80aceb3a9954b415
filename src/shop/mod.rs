//! What a workshop owns: woods, feed and depth tables, cutters, machines, posts. Loads and checks what lies in `post/`.
//!
//! The shipped files are part of the program; a person's own machine or post is a YAML file named by its path.

pub mod machine;
pub mod post;
pub mod table;
pub mod wood;

pub use machine::{Cutter, DrawingFormat, LayerStyle, Layers, Machine, Tool};
pub use post::Post;
pub use table::{LaserSetting, RouterSetting, TabRule};
pub use wood::Wood;
