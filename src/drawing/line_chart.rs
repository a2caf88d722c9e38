//! A line chart over travel, with what each line says at its ends as figures.

use super::{WIDTH, escape};
use crate::quantity::Fixed;
use std::fmt::Write;

/// A line of a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartLine {
    /// Its name.
    pub name: String,
    /// Travel in millimetres, rising, and the value there. What is no number is left out.
    pub points: Vec<(f64, f64)>,
}

/// A chart over travel: the first line solid, the others dashed.
#[derive(Clone, Debug, PartialEq)]
pub struct LineChart {
    /// What is drawn, with its unit, such as `Toe, °, toe-in positive`.
    pub title: String,
    /// How many decimals the figures have.
    pub decimals: u32,
    /// The lines.
    pub lines: Vec<ChartLine>,
}

/// Where the field of the lines begins and ends.
const LEFT: f64 = 46.0;
const RIGHT: f64 = WIDTH - 12.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 156.0;
/// Where the figures end, and how high their lines are.
const FIGURES: [f64; 3] = [196.0, 268.0, WIDTH - 2.0];
const LINE: f64 = 20.0;

/// What an axis spans, and from line to line of its grid.
#[derive(Clone, Copy)]
struct Axis {
    least: f64,
    most: f64,
    step: f64,
}

impl Axis {
    /// Round numbers round these values.
    fn of(values: impl Iterator<Item = f64>) -> Self {
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values {
            least = least.min(value);
            most = most.max(value);
        }
        if least > most {
            (least, most) = (0.0, 0.0);
        }
        // Less than this is drawn flat.
        let span = (most - least).max(0.1);
        let mut decade = 0.01;
        let mut step = decade;
        while span / step > 5.0 && decade < 1e9 {
            step = [2.0, 5.0, 10.0]
                .into_iter()
                .map(|times| times * decade)
                .find(|step| span / step <= 5.0)
                .unwrap_or(10.0 * decade);
            decade *= 10.0;
        }
        let mut axis = Self {
            least: (least / step + 1e-9).floor() * step,
            most: (most / step - 1e-9).ceil() * step,
            step,
        };
        if axis.most <= axis.least {
            axis.least -= step;
            axis.most = axis.least + 2.0 * step;
        }
        axis
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.least) / (self.most - self.least)
    }

    fn lines(&self) -> impl Iterator<Item = f64> {
        let Self { least, most, step } = *self;
        (0..32)
            .map(move |line| least + f64::from(line) * step)
            .take_while(move |value| *value <= most + step * 1e-6)
    }

    const fn decimals(&self) -> u32 {
        if self.step > 0.9 {
            0
        } else if self.step > 0.09 {
            1
        } else {
            2
        }
    }
}

/// A figure with a true minus.
fn figure(value: f64, decimals: u32) -> String {
    Fixed(value, decimals).to_string().replace('-', "\u{2212}")
}

impl LineChart {
    /// Its lines without what is no number.
    fn points(&self) -> Vec<Vec<(f64, f64)>> {
        let drawn = |point: &&(f64, f64)| point.0.abs() < 1e6 && point.1.abs() < 1e6;
        let lines = self.lines.iter();
        lines
            .map(|line| line.points.iter().filter(drawn).copied().collect())
            .collect()
    }

    fn height(&self) -> f64 {
        BOTTOM + 3.0 * LINE + 10.0 + LINE * f64::from(self.lines.len() as u32)
    }

    /// As SVG markup.
    pub fn svg(&self) -> String {
        format!(
            "<svg class='drawing' viewBox='0 0 {} {}' role='img' aria-label=\"{}\">{}</svg>",
            Fixed(WIDTH, 0),
            Fixed(self.height(), 0),
            escape(&self.title),
            self.body()
        )
    }

    fn body(&self) -> String {
        let points = self.points();
        let all = || points.iter().flatten();
        let up = Axis::of(all().map(|point| point.1));
        let (least, most) = all().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), point| {
            (a.min(point.0), b.max(point.0))
        });
        let (least, most) = if least < most {
            (least, most)
        } else {
            (-1.0, 1.0)
        };
        let across = |travel: f64| LEFT + (travel - least) / (most - least) * (RIGHT - LEFT);
        let down = |value: f64| BOTTOM - up.share(value) * (BOTTOM - TOP);
        let mut svg = String::new();
        text(&mut svg, 2.0, 14.0, "class='strong'", &self.title);
        for value in up.lines() {
            let y = down(value);
            let _ = write!(
                svg,
                "<path class='faint' d='M{} {y}H{}'/>",
                Fixed(LEFT, 0),
                Fixed(RIGHT, 0),
                y = Fixed(y, 1)
            );
            text(
                &mut svg,
                LEFT - 6.0,
                y + 4.5,
                "text-anchor='end'",
                &figure(value, up.decimals()),
            );
        }
        // The drawn height, where the travel goes both ways from it.
        let middle = if least < 0.0 && most > 0.0 {
            0.0
        } else {
            (least + most) / 2.0
        };
        for travel in [least, middle, most] {
            let x = across(travel);
            let _ = write!(
                svg,
                "<path class='thin' d='M{} {}V{}'/>",
                Fixed(x, 1),
                Fixed(TOP, 0),
                Fixed(BOTTOM + 4.0, 0),
            );
        }
        for (place, points) in points.iter().enumerate() {
            let mut letter = 'M';
            svg.push_str("<path class='line ");
            svg.push_str(stroke(place));
            svg.push_str("' d='");
            for (travel, value) in points {
                let _ = write!(
                    svg,
                    "{letter}{} {}",
                    Fixed(across(*travel), 1),
                    Fixed(down(*value), 1)
                );
                letter = 'L';
            }
            svg.push_str("'/>");
        }
        let ends = [least, middle, most].map(|travel| {
            let sign = if travel > 0.0 { "+" } else { "" };
            (travel, format!("{sign}{}", figure(travel, 0)))
        });
        let anchors = ["start", "middle", "end"];
        for ((travel, words), anchor) in ends.iter().zip(anchors) {
            let how = format!("text-anchor='{anchor}'");
            text(&mut svg, across(*travel), BOTTOM + 18.0, &how, words);
        }
        // The key is a table: what each line says at its ends and between.
        let mut y = BOTTOM + 2.0 * LINE + 4.0;
        text(&mut svg, 2.0, y, "", "mm of travel");
        for ((_, words), x) in ends.iter().zip(FIGURES) {
            text(&mut svg, x, y, "text-anchor='end'", words);
        }
        let _ = write!(
            svg,
            "<path class='thin' d='M2 {y}H{}'/>",
            Fixed(WIDTH - 2.0, 0),
            y = Fixed(y + 6.0, 1)
        );
        for (place, (line, points)) in self.lines.iter().zip(&points).enumerate() {
            y += LINE;
            let _ = write!(
                svg,
                "<path class='{}' d='M2 {}h26'/>",
                stroke(place),
                Fixed(y - 0.5, 1)
            );
            text(&mut svg, 34.0, y + 4.0, "", &line.name);
            for ((travel, _), x) in ends.iter().zip(FIGURES) {
                let here = points.iter().find(|point| (point.0 - travel).abs() < 1e-6);
                let words = match here {
                    Some((_, value)) => figure(*value, self.decimals),
                    None => "none".to_owned(),
                };
                text(
                    &mut svg,
                    x,
                    y + 4.0,
                    "text-anchor='end' class='strong'",
                    &words,
                );
            }
        }
        svg
    }
}

/// How a line is stroked: never by colour alone.
const fn stroke(place: usize) -> &'static str {
    if place == 0 {
        "ink heavy"
    } else {
        "accent-hatch heavy' stroke-dasharray='7 4"
    }
}

fn text(svg: &mut String, x: f64, y: f64, how: &str, text: &str) {
    let _ = write!(
        svg,
        "<text x='{}' y='{}' {how}>{}</text>",
        Fixed(x, 1),
        Fixed(y, 1),
        escape(text)
    );
}

/// The styles of the page, for a file that stands alone and is printed on white.
const STYLE: &str = "svg{fill:none;background:#fff}text{fill:#14202b;font:13px system-ui,sans-serif}.strong{font-weight:700}.ink,.thin{stroke:#14202b}.ink{stroke-width:1.4}.thin{stroke-width:.8}.faint{stroke:#b9b5a6}.accent-hatch{stroke:#0a4a9c}.heavy{stroke-width:2.2}";

/// Charts one below another as the text of an SVG file that needs nothing else.
pub fn charts_file(title: &str, charts: &[LineChart]) -> String {
    let mut y = 30.0;
    let mut body = String::new();
    text(&mut body, 2.0, 18.0, "class='strong'", title);
    for chart in charts {
        let _ = write!(
            body,
            "<g transform='translate(0 {})'>{}</g>",
            Fixed(y, 0),
            chart.body()
        );
        y += chart.height() + 12.0;
    }
    let (width, height) = (Fixed(WIDTH, 0), Fixed(y, 0));
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{width}' height='{height}' viewBox='0 0 {width} {height}' role='img' aria-label=\"{}\"><style>{STYLE}</style>{body}</svg>\n",
        escape(title)
    )
}
