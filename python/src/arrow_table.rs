//! A table as other libraries take it without a copy: the Arrow PyCapsule interface.

use arrow_array::ffi_stream::FFI_ArrowArrayStream;
use arrow_array::{
    Array, ArrayRef, BooleanArray, Float64Array, Int64Array, RecordBatch, RecordBatchIterator, StringArray,
    TimestampMicrosecondArray,
};
use arrow_schema::ffi::FFI_ArrowSchema;
use arrow_schema::{DataType, Field, Schema, SchemaRef, TimeUnit};
use jiff::Timestamp;
use pyo3::exceptions::{PyKeyError, PyRuntimeError};
use pyo3::prelude::*;
use pyo3::types::{PyCapsule, PyDict, PyList};
use roughwater::files::{HeldColumn, HeldTable};
use std::sync::Arc;

/// A table in memory, column by column, in the layout of Apache Arrow.
#[pyclass(frozen, module = "roughwater")]
pub(crate) struct Table {
    batch: RecordBatch,
}

/// The zone of all times.
const UTC: &str = "UTC";

impl Table {
    /// A table of columns of one length.
    pub(crate) fn new(columns: Vec<(String, HeldColumn)>) -> PyResult<Self> {
        let arrays: Vec<(String, ArrayRef)> =
            columns.into_iter().map(|(name, column)| (name, array(column))).collect();
        let fields: Vec<Field> =
            arrays.iter().map(|(name, array)| Field::new(name, array.data_type().clone(), true)).collect();
        let arrays = arrays.into_iter().map(|(_, array)| array).collect();
        RecordBatch::try_new(Arc::new(Schema::new(fields)), arrays)
            .map(|batch| Self { batch })
            .map_err(|error| PyRuntimeError::new_err(error.to_string()))
    }

    /// The table of what the library holds.
    pub(crate) fn of(held: HeldTable) -> PyResult<Self> {
        Self::new(held.into_columns().into_iter().map(|(name, column)| (name.to_owned(), column)).collect())
    }

    fn schema(&self) -> SchemaRef {
        self.batch.schema()
    }
}

fn array(column: HeldColumn) -> ArrayRef {
    match column {
        HeldColumn::Text(values) => Arc::new(StringArray::from(values)),
        HeldColumn::Real(values) => Arc::new(Float64Array::from(values)),
        HeldColumn::Count(values) => Arc::new(Int64Array::from(values)),
        HeldColumn::Truth(values) => Arc::new(BooleanArray::from(values)),
        HeldColumn::Time(values) => {
            let micros: TimestampMicrosecondArray =
                values.iter().map(|time| time.map(|time| time.as_microsecond())).collect();
            Arc::new(micros.with_timezone(UTC))
        }
    }
}

#[pymethods]
impl Table {
    /// The names of the columns.
    #[getter]
    fn column_names(&self) -> Vec<String> {
        self.schema().fields().iter().map(|field| field.name().clone()).collect()
    }

    /// The number of rows.
    #[getter]
    fn num_rows(&self) -> usize {
        self.batch.num_rows()
    }

    /// The number of columns.
    #[getter]
    fn num_columns(&self) -> usize {
        self.batch.num_columns()
    }

    fn __len__(&self) -> usize {
        self.batch.num_rows()
    }

    fn __repr__(&self) -> String {
        format!("<roughwater.Table: {} rows, {}>", self.batch.num_rows(), self.column_names().join(", "))
    }

    /// The values of a column as Python objects; None where there is none.
    fn column<'py>(&self, py: Python<'py>, name: &str) -> PyResult<Bound<'py, PyList>> {
        let column = self.batch.column_by_name(name).ok_or_else(|| PyKeyError::new_err(name.to_owned()))?;
        objects(py, column)
    }

    /// All columns as lists of Python objects, by name.
    fn to_pydict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        for (field, column) in self.schema().fields().iter().zip(self.batch.columns()) {
            columns.set_item(field.name(), objects(py, column)?)?;
        }
        Ok(columns)
    }

    fn __arrow_c_schema__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyCapsule>> {
        let schema = FFI_ArrowSchema::try_from(self.schema().as_ref())
            .map_err(|error| PyRuntimeError::new_err(error.to_string()))?;
        PyCapsule::new_with_value(py, schema, c"arrow_schema")
    }

    /// `requested_schema` is a wish that need not be met: the table is given in its own.
    #[pyo3(signature = (requested_schema = None))]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyCapsule>> {
        drop(requested_schema);
        let batches = RecordBatchIterator::new([Ok(self.batch.clone())], self.schema());
        PyCapsule::new_with_value(py, FFI_ArrowArrayStream::new(Box::new(batches)), c"arrow_array_stream")
    }
}

fn objects<'py>(py: Python<'py>, column: &ArrayRef) -> PyResult<Bound<'py, PyList>> {
    let any = column.as_any();
    match column.data_type() {
        DataType::Utf8 => {
            PyList::new(py, any.downcast_ref::<StringArray>().into_iter().flatten().collect::<Vec<_>>())
        }
        DataType::Float64 => {
            PyList::new(py, any.downcast_ref::<Float64Array>().into_iter().flatten().collect::<Vec<_>>())
        }
        DataType::Int64 => {
            PyList::new(py, any.downcast_ref::<Int64Array>().into_iter().flatten().collect::<Vec<_>>())
        }
        DataType::Boolean => {
            PyList::new(py, any.downcast_ref::<BooleanArray>().into_iter().flatten().collect::<Vec<_>>())
        }
        DataType::Timestamp(TimeUnit::Microsecond, _) => {
            let times = any.downcast_ref::<TimestampMicrosecondArray>().into_iter().flatten();
            let times: Vec<_> = times
                .map(|micros| micros.map(|micros| time(py, micros)).transpose())
                .collect::<PyResult<_>>()?;
            PyList::new(py, times)
        }
        other => Err(PyRuntimeError::new_err(format!("no objects for {other}"))),
    }
}

/// A time as Python has it, UTC.
fn time(py: Python<'_>, microseconds: i64) -> PyResult<Bound<'_, PyAny>> {
    let text = Timestamp::from_microsecond(microseconds)
        .map_err(|error| PyRuntimeError::new_err(error.to_string()))?
        .strftime("%Y-%m-%dT%H:%M:%S.%6f+00:00")
        .to_string();
    py.import("datetime")?.getattr("datetime")?.call_method1("fromisoformat", (text,))
}
