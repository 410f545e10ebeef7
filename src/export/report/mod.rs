//! The report: one page that shows a result offline. The result folder's files go in, the bytes of the page come out.

mod audit;
mod cells;
mod folder;
mod page;
mod sea;
mod table;

use crate::error::{Error, Result};
use serde_json::{Value, json};
use std::path::Path;

/// The page's name in a result folder.
pub const REPORT: &str = "report.html";

/// The page of a result folder, from its `audit.csv`, `index.geojson`, `manifest.json` and, where it is there,
/// `cells.csv`. Equal files give equal bytes.
///
/// # Errors
/// A folder that is no result; a file in it that cannot be read.
pub fn to_bytes(result: &Path) -> Result<Vec<u8>> {
    let manifest = folder::json(result, "manifest.json")?;
    let index = folder::json(result, "index.geojson")?;
    let audit = audit::read(&folder::file(result, "audit.csv")?)?;
    let cells = match folder::optional_file(result, "cells.csv") {
        Some(path) => cells::read(&path, &audit)?,
        None => Value::Null,
    };
    let data = json!({
        "manifest": manifest,
        "regions": regions(&index),
        "audit": audit.to_json(),
        "cells": cells,
    });
    let data = serde_json::to_string(&data)
        .map_err(|error| Error::new(format!("cannot write the report's data: {error}")))?;
    Ok(page::with_data(&data).into_bytes())
}

/// Names and outlines of the index.
fn regions(index: &Value) -> Value {
    let features = index["features"].as_array().map(Vec::as_slice).unwrap_or_default();
    let region =
        |feature: &Value| json!({"name": feature["properties"]["name"], "outline": feature["geometry"]});
    features.iter().map(region).collect()
}
