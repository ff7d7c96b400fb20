//! The test chart: its layout, its own size in cells, and the page it becomes.

use std::sync::Arc;

use nightglass::files::picture_pdf::write_picture_pdf;
use nightglass::measure::test_chart::chart::{
    Chart, ChartArea, ChartError, PatchRole, WEDGE_STEPS, coarse_code, fine_code,
};
use nightglass::measure::test_chart::chart_code::{code_bits, crc_10, size_of_bits};
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::pixel::frame::Pixels;
use nightglass::pixel::settings::Size;

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

fn overlap(a: ChartArea, b: ChartArea) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

#[test]
fn no_two_parts_of_the_chart_overlap() {
    for size in [
        size(320, 180),
        Size::HD,
        size(1080, 1920),
        size(5000, 1250),
        size(16_384, 16_384),
    ] {
        let chart = Chart::new(size).unwrap();
        let mut parts: Vec<ChartArea> = chart.patches().iter().map(|patch| patch.area).collect();
        parts.extend(chart.code_cells().map(|cell| cell.0));
        parts.extend(chart.line_fields());
        parts.extend(chart.rulers().map(|ruler| ruler.spine));
        parts.push(chart.ramp());
        for marker in chart.markers() {
            // With the room that finding its middle needs.
            let reach = 1.25 * marker.radius_px + 1.0;
            let [x, y] = marker.centre;
            parts.push(ChartArea {
                x0: (x - reach) as u32,
                y0: (y - reach) as u32,
                x1: (x + reach) as u32,
                y1: (y + reach) as u32,
            });
        }
        assert!(parts.len() > 130, "only {} parts", parts.len());
        for (index, &a) in parts.iter().enumerate() {
            assert!(a.x0 < a.x1 && a.y0 < a.y1, "{a:?} of {size} is empty");
            assert!(
                a.x1 <= size.width() && a.y1 <= size.height(),
                "{a:?} is outside of {size}"
            );
            for &b in &parts[index + 1..] {
                assert!(!overlap(a, b), "{a:?} and {b:?} of {size} overlap");
            }
        }
    }
}

#[test]
fn the_wedges_rise_from_black_to_twelve_percent_and_to_white() {
    assert_eq!((fine_code(0), fine_code(WEDGE_STEPS - 1)), (0, 31));
    assert_eq!((coarse_code(0), coarse_code(WEDGE_STEPS - 1)), (0, 255));
    let codes: Vec<u8> = (0..WEDGE_STEPS).map(coarse_code).collect();
    assert!(
        codes
            .windows(2)
            .all(|pair| (8..=9).contains(&(pair[1] - pair[0])))
    );
    // 31 of 255 is 12.2 percent of white.
    assert!((f64::from(fine_code(WEDGE_STEPS - 1)) / 2.55 - 12.0).abs() < 0.2);
}

#[test]
fn patches_are_drawn_with_the_codes_that_are_read() {
    let chart = Chart::new(Size::HD).unwrap();
    let frame = draw_chart(chart);
    let Pixels::Rgba8(pixels) = frame.pixels() else {
        panic!("8 bits");
    };
    let mut bars = 0;
    for patch in chart.patches() {
        let ChartArea { x0, y0, x1, y1 } = patch.area;
        for (x, y) in [
            (x0, y0),
            (x1 - 1, y1 - 1),
            (x0.midpoint(x1), y0.midpoint(y1)),
        ] {
            let [r, g, b, _] = pixels[y as usize * 1920 + x as usize];
            assert_eq!([r, g, b], patch.rgb_u8, "{patch:?} at {x},{y}");
        }
        bars += usize::from(patch.role == PatchRole::Bar);
    }
    assert_eq!(bars, 16);
}

#[test]
fn the_check_of_the_cells_is_crc_10() {
    // Source: the catalogue of parametrised CRC algorithms, CRC-10/ATM: check value 0x199 of "123456789".
    let message = b"123456789"
        .iter()
        .fold(0_u128, |m, &byte| m << 8 | u128::from(byte));
    assert_eq!(crc_10(message, 72), 0x199);
}

#[test]
fn cells_carry_the_size_and_a_wrong_cell_is_seen() {
    for size in [
        size(320, 180),
        Size::HD,
        size(16_384, 16_384),
        size(4096, 2160),
    ] {
        let bits = code_bits(size);
        assert_eq!(size_of_bits(&bits), Some(size));
        for first in 0..bits.len() {
            for second in first..bits.len() {
                let mut wrong = bits;
                wrong[first] = !wrong[first];
                if second > first {
                    wrong[second] = !wrong[second];
                }
                assert_eq!(
                    size_of_bits(&wrong),
                    None,
                    "{size}, cells {first} and {second}"
                );
            }
        }
    }
}

#[test]
fn sizes_that_cannot_be_resolved_are_refused() {
    assert!(matches!(
        Chart::new(size(319, 400)),
        Err(ChartError::Small { .. })
    ));
    assert!(matches!(
        Chart::new(size(400, 179)),
        Err(ChartError::Small { .. })
    ));
    assert!(matches!(
        Chart::new(size(2000, 400)),
        Err(ChartError::Long { .. })
    ));
    let said = Chart::new(size(160, 90)).unwrap_err().to_string();
    assert!(
        said.contains("at least 320x180 pixels, got 160x90"),
        "{said}"
    );
}

#[test]
fn the_page_has_the_size_and_the_very_pixels_of_the_picture() {
    // Held against the PDF library that reads decks, which shares nothing with the writing.
    for size in [size(640, 360), size(321, 187)] {
        let frame = draw_chart(Chart::new(size).unwrap());
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("chart.pdf");
        write_picture_pdf(&path, &frame).unwrap();
        let bytes: Vec<u8> = std::fs::read(&path).unwrap();
        let pdf = hayro::hayro_syntax::Pdf::new(Arc::new(bytes)).unwrap();
        let pages = pdf.pages();
        assert_eq!(pages.len(), 1);
        let (across, down) = pages[0].render_dimensions();
        assert_eq!(
            (across * 2.0, down * 2.0),
            (size.width() as f32, size.height() as f32)
        );
        assert_eq!(rendered(&pages[0], size), frame.bytes(), "{size}");
    }
}

/// A page at two pixels a point, as bytes.
fn rendered(page: &hayro::hayro_syntax::page::Page<'_>, size: Size) -> Vec<u8> {
    let settings = hayro::PixmapSettings {
        x_scale: 2.0,
        y_scale: 2.0,
        bg_color: hayro::vello_cpu::color::palette::css::WHITE,
    };
    let pixmap = hayro::render(
        page,
        &hayro::RenderCache::new(),
        &hayro::hayro_interpret::InterpreterSettings::default(),
        &hayro::RenderSettings::default(),
        &settings,
    );
    assert_eq!(
        (pixmap.width(), pixmap.height()),
        (size.width() as u16, size.height() as u16)
    );
    pixmap.data_as_u8_slice().to_vec()
}
