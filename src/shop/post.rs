//! Posts: the G-code dialects that the YAML files in `post/` describe. The grammar is `post/README.md`.

/// A G-code dialect.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Post {
    /// Its name, the file's name without its ending.
    pub name: String,
}
