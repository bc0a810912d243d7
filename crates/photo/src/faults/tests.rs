//! Nothing is found where nothing is; finding is tested on rendered photographs.

use image::{Rgb, RgbImage};
use measure::Length;
use outline::{Outline, Ring};
use stock::{Candidate, GrainField};

use super::{candidates, suspects};

const PIXEL: f64 = 0.5;
const LONG: f64 = 320.0;
const WIDE: f64 = 140.0;

/// A face of fine streaks along x.
fn drawn() -> Vec<Candidate> {
    let face = RgbImage::from_fn((LONG / PIXEL) as u32, (WIDE / PIXEL) as u32, |column, row| {
        let x = (f64::from(column) + 0.5) * PIXEL;
        let y = WIDE - (f64::from(row) + 0.5) * PIXEL;
        let noise = f64::from((column.wrapping_mul(7919) ^ row.wrapping_mul(104_729)) % 97) / 97.0 - 0.5;
        let streak = (y * 2.3 + (x / 31.0).sin()).sin() + 0.7 * (y * 5.1 + (x / 17.0).sin()).sin();
        let light = 1.0 + 0.05 * streak + 0.03 * noise;
        Rgb([190.0, 150.0, 105.0].map(|it| (it * light).clamp(0.0, 255.0) as u8))
    });
    let whole = Outline::from(Ring::rectangle(Length::mm(LONG), Length::mm(WIDE)).unwrap());
    let all = suspects(&face, Length::mm(PIXEL), &whole, &GrainField::default(), |_| false);
    candidates(&all, |_| 0.5)
}

#[test]
fn clear_wood_holds_nothing() {
    assert_eq!(drawn(), []);
}

#[test]
fn what_is_hidden_is_not_judged() {
    let face = RgbImage::from_fn(640, 280, |column, _| Rgb([if column < 320 { 20 } else { 190 }, 150, 100]));
    let whole = Outline::from(Ring::rectangle(Length::mm(LONG), Length::mm(WIDE)).unwrap());
    let all = suspects(&face, Length::mm(PIXEL), &whole, &GrainField::default(), |_| true);
    assert!(all.is_empty(), "{all:?}");
}
