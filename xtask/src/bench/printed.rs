//! What benchmarks print, read back as figures.

use super::Figure;

/// The tree of divan: one line each, names by depth, the columns fastest, slowest, median,
/// mean, samples, iterations. The medians.
pub(super) fn tree(printed: &str) -> Vec<Figure> {
    let mut figures = Vec::new();
    let mut group = String::new();
    for line in printed.lines() {
        let Some(at) = line.find(['├', '╰']) else { continue };
        let nested = line[..at].contains('│') || line[..at].ends_with("   ");
        let row = line[at..].trim_start_matches(['├', '╰', '─', ' ']);
        let name = row.split_whitespace().next().unwrap_or_default();
        let columns: Vec<&str> = row.split('│').map(str::trim).collect();
        let median = columns.get(2).copied().and_then(microseconds);
        let name = if nested { format!("{group} / {name}") } else { name.to_owned() };
        match median {
            Some(us) => figures.push(Figure::time(name, us)),
            None => group = name,
        }
    }
    figures
}

/// Rows of a table in Markdown: what, and what was found. Only times and bare numbers count.
pub(super) fn table(printed: &str) -> Vec<Figure> {
    let rows = printed.lines().filter_map(|line| {
        let mut cells = line.strip_prefix('|')?.split('|').map(str::trim);
        figure(cells.next()?, cells.next()?)
    });
    rows.collect()
}

/// Lines of a name, a figure and perhaps more, with two spaces or more between them.
pub(super) fn lines(printed: &str) -> Vec<Figure> {
    let rows = printed.lines().filter_map(|line| {
        let mut parts = line.trim().split("  ").map(str::trim).filter(|part| !part.is_empty());
        figure(parts.next()?, parts.next()?)
    });
    rows.collect()
}

fn figure(name: &str, found: &str) -> Option<Figure> {
    match (microseconds(found), found.parse()) {
        (Some(us), _) => Some(Figure::time(name, us)),
        (None, Ok(share)) => Some(Figure::share(name, share)),
        (None, Err(_)) => None,
    }
}

/// `1.234 µs`, in microseconds.
fn microseconds(text: &str) -> Option<f64> {
    let (number, unit) = text.split_once(' ')?;
    let scale = match unit {
        "ns" => 1e-3,
        "µs" | "us" => 1.0,
        "ms" => 1e3,
        "s" => 1e6,
        _ => return None,
    };
    Some(number.parse::<f64>().ok()? * scale)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TREE: &str = "\
Timer precision: 20 ns
turnaround      fastest       │ slowest       │ median        │ mean          │ samples │ iters
├─ assess                     │               │               │               │         │
│  ├─ mid-burn  52.1 µs       │ 90.2 µs       │ 54.25 µs      │ 55.1 µs       │ 100     │ 100
│  ╰─ ready     61.3 µs       │ 99.9 µs       │ 63.5 µs       │ 64.0 µs       │ 100     │ 100
├─ rules        1.9 ms        │ 3.2 ms        │ 2.125 ms      │ 2.2 ms        │ 100     │ 100
╰─ margins                    │               │               │               │         │
   ╰─ ready     812.5 ns      │ 1.2 µs        │ 850.5 ns      │ 861 ns        │ 100     │ 800
";

    #[test]
    fn medians_are_read_with_the_group_they_are_in() {
        let wanted = [
            Figure::time("assess / mid-burn", 54.25),
            Figure::time("assess / ready", 63.5),
            Figure::time("rules", 2125.0),
            Figure::time("margins / ready", 0.8505),
        ];
        assert_eq!(tree(TREE), wanted);
    }

    #[test]
    fn a_table_gives_its_times_and_shares_and_no_rates_or_sizes() {
        let printed = "| what | found | target |\n|---|---|---|\n| appends | 812 a second | |\n\
            | part | 0.93 | 0.80 or more |\n| open | 1.50 ms | |\n| file | 12 MB, 5 bytes | |\n";
        assert_eq!(table(printed), [Figure::share("part", 0.93), Figure::time("open", 1500.0)]);
    }

    #[test]
    fn lines_give_the_figure_after_the_name() {
        let printed = "1000479 events of 10000 drums\nfold from nothing      2.5 s    target 3 s\n\
            yard in memory          65.9 MiB\n  the slowest          0.75 ms   all: 3 draws\n";
        let wanted =
            [Figure::time("fold from nothing", 2_500_000.0), Figure::time("the slowest", 750.0)];
        assert_eq!(lines(printed), wanted);
    }

    #[test]
    fn what_is_no_time_is_not_read() {
        for text in ["", "median", "1.2", "1.2 kB", "x µs"] {
            assert_eq!(microseconds(text), None, "{text}");
        }
        assert_eq!(microseconds("1.5 s"), Some(1.5e6));
    }
}
