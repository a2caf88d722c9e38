//! A QR code (ISO/IEC 18004): dark modules on light, with the quiet zone that a reader needs.

use super::escape;
use crate::quantity::Fixed;
use qrcodegen::{QrCode, QrCodeEcc, QrSegment};
use std::fmt::Write;

/// The quiet zone on each side, in modules (ISO/IEC 18004).
pub const QUIET: u32 = 4;

/// The least width of a module on paper that any phone reads, in millimetres: common practice, no source.
const MODULE: f64 = 0.4;
/// The least and the greatest width of a code on paper, in millimetres.
const ON_PAPER: (f64, f64) = (30.0, 56.0);

/// A text as a QR code.
pub struct QrDrawing {
    code: QrCode,
}

impl QrDrawing {
    /// A code of a text; none where it is longer than any code holds. Digits at its end take ten bits for three, not eight bits for each.
    pub fn of(text: &str) -> Option<Self> {
        let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
        let (start, digits) = text.split_at_checked(text.len() - digits)?;
        let parts = [
            QrSegment::make_bytes(start.as_bytes()),
            QrSegment::make_numeric(digits),
        ];
        // The lowest level of correction for the largest modules; a higher one where it fits in the same size.
        let code = QrCode::encode_segments(&parts, QrCodeEcc::Low).ok()?;
        Some(Self { code })
    }

    /// How many modules it is wide and high, with its quiet zone.
    pub fn modules(&self) -> u32 {
        self.code.size().unsigned_abs() + 2 * QUIET
    }

    /// As SVG markup for paper, its modules no smaller than a phone reads; none where that takes more room than there is.
    pub fn on_paper(&self, words: &str) -> Option<String> {
        let (least, most) = ON_PAPER;
        let width = (f64::from(self.modules()) * MODULE).max(least);
        (width <= most).then(|| self.svg(&format!("{}mm", Fixed(width, 1)), words))
    }

    /// As SVG markup, of this width, such as `50mm` or `100%`. The words say what it holds to those who do not see it.
    pub fn svg(&self, width: &str, words: &str) -> String {
        let (size, all, quiet) = (self.code.size(), self.modules(), QUIET);
        let mut svg = format!(
            "<svg class='qr' width='{width}' viewBox='0 0 {all} {all}' role='img' aria-label=\"{}\" shape-rendering='crispEdges'><path fill='#fff' d='M0 0h{all}v{all}H0z'/><path stroke='#000' d='",
            escape(words)
        );
        for y in 0..size {
            let mut x = 0;
            while x < size {
                let dark = self.code.get_module(x, y);
                let mut end = x + 1;
                while end < size && self.code.get_module(end, y) == dark {
                    end += 1;
                }
                // A line through the middle of its modules, as wide as they are.
                let _ = match (x, dark) {
                    (0, true) => write!(svg, "M{quiet} {}.5h{end}", y.unsigned_abs() + quiet),
                    (0, false) => write!(
                        svg,
                        "M{} {}.5",
                        end.unsigned_abs() + quiet,
                        y.unsigned_abs() + quiet
                    ),
                    (_, true) => write!(svg, "h{}", end - x),
                    (_, false) if end < size => write!(svg, "m{} 0", end - x),
                    _ => Ok(()),
                };
                x = end;
            }
        }
        svg.push_str("'/></svg>");
        svg
    }
}
