//! Two pictures of a page held against each other: grey, block by block. Renderers move letters to whole pixels and smooth
//! edges in their own ways, which says nothing about the layout.

use stemclock::report::raster::Bitmap;

/// How many pixels, both ways, are averaged.
const BLOCK: u32 = 4;

/// Grey of each block of pixels, from 0 to 255, row by row, and how many blocks there are in a row.
pub type Grey = (Vec<f32>, u32);

/// The grey of a picture.
pub fn grey(bitmap: &Bitmap) -> Grey {
    let (columns, rows) = (bitmap.width / BLOCK, bitmap.height / BLOCK);
    let mut grey = vec![0.0; (columns * rows) as usize];
    for y in 0..rows * BLOCK {
        for x in 0..columns * BLOCK {
            let p = &bitmap.rgba[((y * bitmap.width + x) * 4) as usize..];
            let value = 0.299 * f32::from(p[0]) + 0.587 * f32::from(p[1]) + 0.114 * f32::from(p[2]);
            grey[(y / BLOCK * columns + x / BLOCK) as usize] += value / (BLOCK * BLOCK) as f32;
        }
    }
    (grey, columns)
}

/// The mean difference of grey, and the share of blocks that differ by more than half.
pub fn difference(a: &Grey, b: &Grey) -> (f64, f64) {
    let columns = a.1.min(b.1) as usize;
    let rows = a.0.chunks(a.1 as usize).zip(b.0.chunks(b.1 as usize));
    let differences: Vec<f64> =
        rows.flat_map(|(a, b)| a.iter().zip(b).take(columns).map(|(a, b)| f64::from((a - b).abs()))).collect();
    let count = differences.len() as f64;
    (differences.iter().sum::<f64>() / count, differences.iter().filter(|d| **d > 128.0).count() as f64 / count)
}
