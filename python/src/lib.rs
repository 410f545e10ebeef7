//! What the Python package `roughwater` calls: the library's entry points, with tables as Arrow, answers as JSON, errors as
//! exceptions. Signatures, units and words for users stand in the Python files beside.

mod arrow_table;
mod atlas;
mod command;
mod comparison;
mod derate;
mod error;
mod inspect;
mod lookup;
mod names;
mod passage;
mod polar;
mod response;
mod simulation;
mod times;
mod work;

use pyo3::prelude::*;

/// The compiled part of the package.
#[pymodule]
fn _native(module: &Bound<PyModule>) -> PyResult<()> {
    module.add("__version__", env!("CARGO_PKG_VERSION"))?;
    module.add("CAUTION", roughwater::CAUTION)?;
    module.add_class::<arrow_table::Table>()?;
    module.add_class::<atlas::Atlas>()?;
    module.add_class::<polar::Polar>()?;
    module.add_function(wrap_pyfunction!(atlas::make_atlas, module)?)?;
    module.add_function(wrap_pyfunction!(command::command, module)?)?;
    module.add_function(wrap_pyfunction!(comparison::compare, module)?)?;
    module.add_function(wrap_pyfunction!(comparison::compare_in_time, module)?)?;
    module.add_function(wrap_pyfunction!(derate::derate, module)?)?;
    module.add_function(wrap_pyfunction!(inspect::inspect, module)?)?;
    module.add_function(wrap_pyfunction!(lookup::lookup, module)?)?;
    module.add_function(wrap_pyfunction!(passage::passage, module)?)?;
    module.add_function(wrap_pyfunction!(response::response, module)?)?;
    module.add_function(wrap_pyfunction!(simulation::simulate, module)?)
}
