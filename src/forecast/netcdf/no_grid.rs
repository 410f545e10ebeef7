//! Why a variable lies on no grid of latitude and longitude: what it lies on instead, by its file's coordinates.

use crate::base::Error;
use crate::forecast::netcdf::file::Variable;
use crate::forecast::netcdf::role::{Role, role};

const REMEDY: &str = "bring it to a grid of one-dimensional latitude and longitude first: CDO's remapbil or remapdis, \
                      for example, does";

/// The error of a variable without a grid; `variables` are all of its file.
pub(super) fn error(variables: &[Variable], variable: &Variable) -> Error {
    let dims: Vec<&str> = variable.dims.iter().map(|dim| dim.name.as_str()).collect();
    let found: Vec<String> = variable.dims.iter().map(|d| format!("{} ({})", d.name, d.size)).collect();
    let found =
        if found.is_empty() { "no dimensions".into() } else { format!("dimensions {}", found.join(", ")) };
    // coordinates that run along the variable's own dimensions
    let along =
        |v: &&Variable| !v.dims.is_empty() && v.dims.iter().all(|dim| dims.contains(&dim.name.as_str()));
    let position = |wanted: Role| variables.iter().filter(along).find(|v| role(v) == Some(wanted));
    let positions = position(Role::Lat).zip(position(Role::Lon));
    let axis = variables.iter().filter(along).find_map(|v| Some((v, odd_axis(v.standard_name.as_deref()?)?)));
    let (what, why) = match (positions, axis) {
        _ if variable.text("location") == Some("edge") => ("the edges of a mesh (UGRID)", String::new()),
        _ if variable.text("mesh").is_some() => {
            ("an unstructured mesh (UGRID) without its topology", String::new())
        }
        (_, Some((v, what))) => {
            (what, format!(", {} along {}", v.standard_name.as_deref().unwrap_or(""), v.name))
        }
        (Some((lat, lon)), _) if lat.dims.len() > 1 => {
            let names: Vec<&str> = lat.dims.iter().map(|dim| dim.name.as_str()).collect();
            ("a curvilinear grid", format!(", {} and {} over {}", lat.name, lon.name, names.join(" and ")))
        }
        (Some((lat, lon)), _) if lat.dims == lon.dims => (
            "a list of points, or a mesh without its triangles",
            format!(", {} and {} over {}", lat.name, lon.name, lat.dims[0].name),
        ),
        _ => {
            return Error::new("the variable is not on a grid of latitude and longitude")
                .found(found)
                .expected("one-dimensional latitude and longitude in degrees among its dimensions")
                .remedy(
                    "bring points, curved or triangular grids to a grid of latitude and longitude first",
                );
        }
    };
    Error::new(format!("the variable is on {what}, not on a grid of latitude and longitude"))
        .found(format!("{found}{why}"))
        .expected("one-dimensional latitude and longitude in degrees among its dimensions, a curvilinear grid, or nodes or \
                   faces of a mesh with its triangles (`tri`, or UGRID's mesh_topology)")
        .remedy(REMEDY)
}

/// What an axis is part of that is none of latitude and longitude.
fn odd_axis(standard_name: &str) -> Option<&'static str> {
    match standard_name {
        "grid_latitude" | "grid_longitude" => Some("a grid with a rotated pole"),
        "projection_x_coordinate" | "projection_y_coordinate" => Some("a projected grid"),
        _ if standard_name.starts_with("projection_") => Some("a projected grid"),
        _ => None,
    }
}
