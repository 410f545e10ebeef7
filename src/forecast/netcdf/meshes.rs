//! Grids whose latitude and longitude run along two dimensions together, and meshes.
//!
//! - **Curvilinear**: latitude and longitude, both over the same two dimensions that are no coordinates themselves.
//! - **UGRID 1.0**: a variable whose `cf_role` is `mesh_topology` names the nodes' places and the nodes of each face.
//!   Values stand at nodes or faces; those at edges are refused by name.
//! - **Lists of triangles** of models that name no topology: `tri` (WAVEWATCH III), `nv` (FVCOM) and `element` (ADCIRC),
//!   counted from 1 (from memory of the models' output files), beside latitude and longitude of one dimension.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::base::{Error, Result};
use crate::forecast::grib_ends::MOST_POINTS;
use crate::forecast::grid::Grid;
use crate::forecast::mesh::{At, Faces};
use crate::forecast::netcdf::file::{File, Pick, Variable};
use crate::forecast::netcdf::role::{Role, role};

/// Lists of triangles that name no topology.
const LISTS: [&str; 3] = ["tri", "nv", "element"];

/// The grids of a file that have no axes.
#[derive(Default)]
pub(super) struct Meshes {
    /// By the dimensions of rows and of columns.
    pub curved: BTreeMap<(String, String), Result<Arc<Grid>>>,
    /// By the dimension of nodes or of faces.
    pub points: BTreeMap<String, Result<Arc<Grid>>>,
    /// Variables that say where points are, and which belong together.
    pub coordinates: Vec<String>,
}

/// Finds them; `known` tells the roles of dimensions that have their own coordinate.
pub(super) fn find(file: &File, variables: &[Variable], known: impl Fn(&str) -> Option<Role>) -> Meshes {
    let mut meshes = Meshes::default();
    for lat in variables.iter().filter(|v| role(v) == Some(Role::Lat) && v.dims.len() == 2) {
        let unknown = lat.dims.iter().all(|dim| known(&dim.name).is_none());
        let lon = variables.iter().find(|v| role(v) == Some(Role::Lon) && v.dims == lat.dims);
        if let (true, Some(lon), [rows, columns]) = (unknown, lon, &lat.dims[..]) {
            let read = || {
                let (lats, lons) = (whole(file, lat)?, whole(file, lon)?);
                Grid::curvilinear(rows.size as usize, columns.size as usize, &lats, &lons)
            };
            let grid = read().map(Arc::new).map_err(|e| e.at(format!("{} and {}", lat.name, lon.name)));
            meshes.curved.entry((rows.name.clone(), columns.name.clone())).or_insert(grid);
            meshes.coordinates.extend([lat.name.clone(), lon.name.clone()]);
        }
    }
    let named = |name: &str| variables.iter().find(|v| v.name == name);
    for topology in variables.iter().filter(|v| v.text("cf_role") == Some("mesh_topology")) {
        meshes.coordinates.push(topology.name.clone());
        let places = topology.text("node_coordinates").unwrap_or_default();
        let place = |wanted| places.split_whitespace().filter_map(named).find(|v| role(v) == Some(wanted));
        let faces = topology.text("face_node_connectivity").and_then(named);
        if let (Some(lat), Some(lon), Some(faces)) = (place(Role::Lat), place(Role::Lon), faces) {
            let turned = topology
                .text("face_dimension")
                .is_some_and(|dim| faces.dims.last().is_some_and(|last| last.name == dim));
            meshes.mesh(
                file,
                lat,
                lon,
                faces,
                &List { turned, first: file.number(faces, "start_index").unwrap_or(0.0) },
            );
        }
    }
    for faces in variables.iter().filter(|v| LISTS.contains(&v.name.as_str()) && v.dims.len() == 2) {
        let along = |wanted| {
            variables
                .iter()
                .find(|v| role(v) == Some(wanted) && v.dims.len() == 1 && known(&v.dims[0].name).is_none())
        };
        if let (true, Some(lat), Some(lon)) = (meshes.points.is_empty(), along(Role::Lat), along(Role::Lon)) {
            meshes.mesh(file, lat, lon, faces, &List { turned: faces.dims[0].size == 3, first: 1.0 });
        }
    }
    meshes
}

/// How a list of faces is written.
struct List {
    /// Corners vary slowest.
    turned: bool,
    /// The number of the first node.
    first: f64,
}

impl Meshes {
    fn mesh(&mut self, file: &File, lat: &Variable, lon: &Variable, faces: &Variable, list: &List) {
        let ([node], [slow, fast]) = (&lat.dims[..], &faces.dims[..]) else { return };
        let face = if list.turned { fast } else { slow };
        let both = || {
            let (lats, lons) = (whole(file, lat)?, whole(file, lon)?);
            let corners = read_faces(&whole(file, faces)?, slow.size as usize, list)?;
            let grid = |at| Grid::mesh(&lats, &lons, &corners, at).map(Arc::new);
            Ok((grid(At::Nodes), grid(At::Faces)))
        };
        let place = |e: Error| e.at(format!("mesh of {}, {} and {}", faces.name, lat.name, lon.name));
        let (nodes, at_faces) = both().unwrap_or_else(|error: Error| (Err(error.clone()), Err(error)));
        self.points.entry(node.name.clone()).or_insert(nodes.map_err(place));
        self.points.entry(face.name.clone()).or_insert(at_faces.map_err(place));
        self.coordinates.extend([lat, lon, faces].map(|v| v.name.clone()));
    }
}

/// The nodes of each face, from 0; what is missing or negative fills up.
fn read_faces(values: &[f64], slow: usize, list: &List) -> Result<Faces> {
    let fast = values.len() / slow.max(1);
    let (faces, corners) = if list.turned { (fast, slow) } else { (slow, fast) };
    let at = |face: usize, corner: usize| {
        values[if list.turned { corner * fast + face } else { face * fast + corner }]
    };
    let mut read = Vec::with_capacity(faces);
    for face in 0..faces {
        let mut nodes = Vec::with_capacity(corners);
        for number in (0..corners).map(|corner| at(face, corner)).filter(|number| *number >= 0.0) {
            let node = number - list.first;
            if node < 0.0 || node.fract() != 0.0 {
                return Err(Error::new("a face of the mesh has a node that there is not")
                    .found(format!("node {number} of face {}", face + 1))
                    .expected(format!("whole numbers from {}", list.first))
                    .remedy("the list of faces or its start_index is wrong"));
            }
            nodes.push(node as usize);
        }
        read.push(nodes);
    }
    Ok(read)
}

fn whole(file: &File, variable: &Variable) -> Result<Vec<f64>> {
    let points = variable.dims.iter().fold(1_u64, |n, dim| n.saturating_mul(dim.size));
    if points > 8 * MOST_POINTS {
        return Err(Error::new("a mesh is larger than that of any forecast").found(points));
    }
    file.values(&variable.name, &vec![Pick::All; variable.dims.len()])
}
