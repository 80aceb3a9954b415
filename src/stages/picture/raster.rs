//! SVG to PNG.

use resvg::{tiny_skia, usvg};

/// Most pixels of a PNG: what 400 MB of memory hold.
const MOST_PIXELS: f64 = 1.0e8;

/// Why there is no PNG.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPng {
    /// The SVG cannot be read.
    #[error("the picture cannot be drawn: {0}")]
    Unreadable(String),
    /// It would have more pixels than memory should hold, or none.
    #[error("a picture of {0} by {1} pixels cannot be made; a narrower one can")]
    Size(u64, u64),
    /// The pixels cannot be packed.
    #[error("the picture cannot be packed: {0}")]
    Unpackable(String),
}

/// A PNG of the SVG, `width_px` wide.
///
/// # Errors
/// [`NoPng`] where the text is no SVG or the size is beyond measure.
pub fn png(svg: &str, width_px: u32) -> Result<Vec<u8>, NoPng> {
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default())
        .map_err(|error| NoPng::Unreadable(error.to_string()))?;
    let scale = f64::from(width_px) / f64::from(tree.size().width());
    let height = (f64::from(tree.size().height()) * scale).ceil();
    let refuse = || NoPng::Size(width_px.into(), height as u64);
    if height * f64::from(width_px) > MOST_PIXELS {
        return Err(refuse());
    }
    let mut pixels = tiny_skia::Pixmap::new(width_px, height as u32).ok_or_else(refuse)?;
    let scale = scale as f32;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| NoPng::Unpackable(error.to_string()))
}
