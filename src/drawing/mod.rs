//! Drawn parts, to scale, as SVG markup. They take plain numbers and know nothing of jobs.

mod hex_dial;
mod thread_rule;

pub use hex_dial::HexDial;
pub use thread_rule::ThreadRule;

/// A text as it may stand in markup, between tags or in a quoted attribute.
pub fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            c => escaped.push(c),
        }
    }
    escaped
}
