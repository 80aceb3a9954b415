//! All of it to pictures: SVG and PNG of sheets with grain, outlines, kerf, tabs, marks, order and travel.
