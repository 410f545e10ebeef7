//! Prints measured against computed responses of the Wigley hulls (Journee 1992) as a Markdown table.

#[allow(dead_code)]
#[path = "../tests/physics/wigley.rs"]
mod wigley;

fn main() {
    println!(
        "| table | hull | Fn | quantity | lambda/L or w sqrt(L/g) | measured | computed | computed/measured |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for row in wigley::comparisons() {
        let at = row.at.map_or("peak".to_owned(), |at| at.to_string());
        let ratio = row.computed / row.measured;
        println!(
            "| {} | {} | {} | {} | {at} | {} | {:.3} | {ratio:.2} |",
            row.table, row.hull, row.froude, row.quantity, row.measured, row.computed
        );
    }
}
