//! Where the label of a guide may stand: inside its outline or beside its lines.

use super::guides::{Guide, GuideShapes, Shape};
use super::settings::Size;

/// Heights that labels of a safe area stand at, shares of the output's, the first ones before all. Source: chosen by eye.
const SIDE_SHARES: [f64; 5] = [0.3, 0.42, 0.54, 0.66, 0.78];
/// Height that each kind of safe area has its first label at, shares of the output's: action, graphics, others. Source:
/// chosen by eye, three lines one below the other.
const OWN_SHARES: [f64; 3] = [0.14, 0.18, 0.22];
/// Height of the first labels of lines: grid, centre, others. Source: chosen by eye, over those of safe areas.
const LINE_SHARES: [f64; 3] = [0.01, 0.04, 0.07];
/// Height of labels of lines beside the middle, where the line across it leaves room. Source: chosen by eye.
const MIDDLE_SHARE: f64 = 0.47;
/// Room between a label and its line, a share of the output's height. Source: chosen by eye.
const GAP_SHARE: f64 = 1.0 / 120.0;
/// Where labels of a line or an edge stand along it, shares of the side. Source: chosen by eye.
const ALONG_SHARES: [f64; 4] = [0.12, 0.4, 0.6, 0.8];

/// Top left corners for a label of this size in output pixels, the best first.
pub fn label_corners(guide: &GuideShapes, output: Size, [wide, high]: [f64; 2]) -> Vec<[f64; 2]> {
    let height = f64::from(output.height());
    let gap = GAP_SHARE * height;
    match guide.shapes.first() {
        Some(&Shape::Outline { x0, y0, x1, y1 }) if guide.guide == Guide::Captions => {
            let along = ALONG_SHARES.map(|share| [x0 + share * (x1 - x0), y0 + gap]);
            let below = ALONG_SHARES.map(|share| [x0 + share * (x1 - x0), y1 - gap - high]);
            along.into_iter().chain(below).collect()
        }
        Some(&Shape::Outline { x0, y0, x1, y1 }) => {
            let (left, right) = (x0 + gap, x1 - gap - wide);
            let (top, bottom) = (y0 + gap, y1 - gap - high);
            // Each kind at another height of its left edge, so that they are told apart where there is room for all.
            let own = match guide.guide {
                Guide::ActionSafe => OWN_SHARES[0],
                Guide::GraphicsSafe => OWN_SHARES[1],
                _ => OWN_SHARES[2],
            };
            let middle = (x0 + x1 - wide) / 2.0;
            let mut corners = vec![[left, own * height], [right, own * height]];
            for share in SIDE_SHARES {
                let y = (share + own - OWN_SHARES[0]) * height;
                corners.extend([[left, y], [right, y]]);
            }
            for x in [left, middle, right] {
                corners.extend([[x, bottom], [x, top]]);
            }
            // One above the other where the edges of several are near.
            corners.extend([left, right].map(|x| [x, bottom - high - gap]));
            corners.extend([left, right].map(|x| [x, bottom - 2.0 * (high + gap)]));
            corners
        }
        _ => {
            let share = match guide.guide {
                Guide::Grid => LINE_SHARES[0],
                Guide::Centre => LINE_SHARES[1],
                _ => LINE_SHARES[2],
            };
            let vertical = |shape: &Shape| match shape {
                Shape::Vertical { x } => Some(x + gap),
                _ => None,
            };
            // The grid's second line, as the first is where safe areas have their labels.
            let skipped = usize::from(guide.guide == Guide::Grid);
            let lines: Vec<f64> = guide.shapes.iter().filter_map(vertical).collect();
            let heights = [share * height, height - gap - high, MIDDLE_SHARE * height];
            let lines = lines.iter().skip(skipped);
            heights
                .into_iter()
                .flat_map(|y| lines.clone().map(move |&x| [x, y]))
                .collect()
        }
    }
}
