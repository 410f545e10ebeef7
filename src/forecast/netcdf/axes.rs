//! Coordinates of a file: which dimension is time, latitude, longitude, member, and what they hold.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::Timestamp;

use crate::base::{Error, Result};
use crate::forecast::grid::Grid;
use crate::forecast::netcdf::file::{Dim, File, Pick, Variable};
use crate::forecast::netcdf::layout::FieldLayout;
use crate::forecast::netcdf::level::WindLevel;
use crate::forecast::netcdf::meshes;
use crate::forecast::netcdf::meshes::Meshes;
use crate::forecast::netcdf::no_grid;
use crate::forecast::netcdf::role::{Role, is_member_name, members, role};
use crate::forecast::netcdf::stations;
use crate::forecast::netcdf::stations::Stations;
use crate::forecast::netcdf::times::{Places, Times, When};

/// One field's place in time, and what to pick of each dimension.
#[derive(Debug, Clone)]
pub(super) struct FieldPlace {
    pub reference: Timestamp,
    pub valid: Timestamp,
    pub member: Option<u32>,
    /// Which swell, where cfgrib numbers them.
    pub rank: Option<u8>,
    pub picks: Vec<Pick>,
}

impl FieldPlace {
    pub(super) fn at(reference: Timestamp) -> Self {
        Self { reference, valid: reference, member: None, rank: None, picks: Vec::new() }
    }
}

/// All coordinates of a file.
pub(super) struct Axes {
    roles: BTreeMap<String, Role>,
    coordinates: BTreeSet<String>,
    named: BTreeMap<String, Variable>,
    times: Times,
    /// Every time of the file.
    all_times: BTreeSet<When>,
    members: BTreeMap<String, Vec<u32>>,
    scalar_member: Option<u32>,
    ranks: BTreeMap<String, Vec<u8>>,
    /// A scalar's name and the rank it holds.
    scalar_rank: Option<(String, u8)>,
    /// By the names of the latitude's and the longitude's dimension.
    grids: BTreeMap<(String, String), Result<(Arc<Grid>, FieldLayout)>>,
    /// Grids without axes.
    meshes: Meshes,
    stations: Option<Stations>,
    /// Grid mappings by the variable that describes them.
    mappings: BTreeMap<String, String>,
    /// All variables, for what is to be said of those without a grid.
    variables: Vec<Variable>,
}

impl Axes {
    /// # Errors
    /// Coordinates that cannot be read or make no dates.
    pub fn read(file: &File, variables: &[Variable]) -> Result<Self> {
        let mut axes = Self {
            roles: BTreeMap::new(),
            coordinates: BTreeSet::new(),
            named: BTreeMap::new(),
            times: Times::read(file, variables)?,
            all_times: BTreeSet::new(),
            members: BTreeMap::new(),
            scalar_member: None,
            ranks: BTreeMap::new(),
            scalar_rank: None,
            grids: BTreeMap::new(),
            meshes: Meshes::default(),
            stations: None,
            mappings: variables.iter().filter_map(mapping).collect(),
            variables: variables.to_vec(),
        };
        for variable in variables {
            axes.coordinate(file, variable)?;
        }
        axes.all_times = axes.times.all()?;
        axes.coordinates.extend(axes.times.names().map(str::to_owned));
        let along_time = axes.times.dims().map(|dim| (dim.name.clone(), Role::Time));
        axes.roles.extend(along_time.collect::<Vec<_>>());
        axes.dimensions_without_variables(variables);
        axes.read_grids(file, variables);
        axes.find_meshes(file, variables);
        axes.find_stations(file, variables);
        Ok(axes)
    }

    /// Takes a variable that is a coordinate.
    fn coordinate(&mut self, file: &File, variable: &Variable) -> Result<()> {
        let own = matches!(&variable.dims[..], [dim] if dim.name == variable.name);
        if !own && !variable.dims.is_empty() {
            return Ok(());
        }
        let Some(role) = role(variable).filter(|role| !matches!(role, Role::Time | Role::Period)) else {
            return Ok(());
        };
        self.coordinates.insert(variable.name.clone());
        let name = variable.name.clone();
        if own {
            self.roles.insert(name.clone(), role);
            self.named.insert(name.clone(), variable.clone());
        }
        if role == Role::Rank {
            let values = file.coordinate(variable)?;
            let ranks: Vec<u8> =
                values.iter().map(|v| if (1.0..=5.0).contains(v) { *v as u8 } else { 0 }).collect();
            if own {
                self.ranks.insert(name.clone(), ranks);
            } else {
                self.scalar_rank = ranks.first().map(|rank| (name.clone(), *rank));
            }
        }
        if role == Role::Member {
            let members = members(variable, &file.coordinate(variable)?)?;
            if own {
                self.members.insert(name, members);
            } else {
                self.scalar_member = members.first().copied();
            }
        }
        Ok(())
    }

    /// A member dimension may lack its coordinate: members then count from 0, as xarray counts.
    fn dimensions_without_variables(&mut self, variables: &[Variable]) {
        let dims: BTreeSet<(&str, u64)> =
            variables.iter().flat_map(|v| v.dims.iter().map(|d| (d.name.as_str(), d.size))).collect();
        for (name, size) in dims {
            if !self.roles.contains_key(name) && is_member_name(name) && size <= 10_000 {
                self.roles.insert(name.to_owned(), Role::Member);
                self.members.insert(name.to_owned(), (0..size as u32).collect());
            }
        }
    }

    fn find_stations(&mut self, file: &File, variables: &[Variable]) {
        self.stations = stations::find(file, variables, |dim| self.roles.get(dim).copied());
        if let Some(stations) = &self.stations {
            self.coordinates.extend(stations.coordinates.iter().cloned());
            if let Some(dim) = &stations.dim {
                self.roles.insert(dim.clone(), Role::Station);
            }
        }
    }

    fn find_meshes(&mut self, file: &File, variables: &[Variable]) {
        self.meshes = meshes::find(file, variables, |dim| self.roles.get(dim).copied());
        self.coordinates.extend(self.meshes.coordinates.iter().cloned());
        let curved = self.meshes.curved.keys();
        let curved = curved.flat_map(|(row, column)| [(row, Role::Row), (column, Role::Column)]);
        let points = self.meshes.points.keys().map(|dim| (dim, Role::Node));
        let roles = curved.chain(points).map(|(dim, role)| (dim.clone(), role));
        self.roles.extend(roles.collect::<Vec<_>>());
    }

    fn read_grids(&mut self, file: &File, variables: &[Variable]) {
        let named = |name: &str| variables.iter().find(|v| v.name == name);
        for variable in variables {
            let (Some(lat), Some(lon)) = (self.dim(variable, Role::Lat), self.dim(variable, Role::Lon))
            else {
                continue;
            };
            let key = (lat.name.clone(), lon.name.clone());
            if self.grids.contains_key(&key) {
                continue;
            }
            let grid = match (named(&lat.name), named(&lon.name)) {
                (Some(lat), Some(lon)) => read_grid(file, lat, lon),
                _ => Err(Error::new("a latitude or longitude has no values")),
            };
            self.grids.insert(key, grid);
        }
    }

    pub fn is_coordinate(&self, variable: &Variable) -> bool {
        self.coordinates.contains(&variable.name)
    }

    /// The variable's dimension of a role.
    pub fn dim<'v>(&self, variable: &'v Variable, role: Role) -> Option<&'v Dim> {
        variable.dims.iter().find(|dim| self.roles.get(&dim.name) == Some(&role))
    }

    /// The coordinate of one of the variable's dimensions.
    ///
    /// # Errors
    /// A dimension without coordinate.
    pub fn variable(&self, variable: &Variable, role: Role) -> Result<&Variable> {
        let dim = self.dim(variable, role).and_then(|dim| self.named.get(&dim.name));
        dim.ok_or_else(|| Error::new("a spectrum lacks the values of its frequencies or directions"))
    }

    /// The dimensions of which a slice is read whole, in the order of the file.
    pub fn whole_dimensions(&self, variable: &Variable) -> Vec<Role> {
        let roles = variable.dims.iter().filter_map(|dim| self.roles.get(&dim.name).copied());
        roles.filter(|r| is_of_place(*r) || matches!(r, Role::Frequency | Role::Direction)).collect()
    }

    /// A place for what has no time of its own.
    pub fn start(&self) -> FieldPlace {
        let first = self.all_times.first().map(|when| when.reference.unwrap_or(when.valid));
        FieldPlace::at(first.unwrap_or(Timestamp::UNIX_EPOCH))
    }

    /// The grid of a variable.
    ///
    /// # Errors
    /// A variable without latitude and longitude, or with axes that make no grid.
    pub fn grid_of(&self, variable: &Variable) -> Result<Arc<Grid>> {
        self.entry(variable).map(|(grid, _)| grid)
    }

    /// Whether a variable lies on a grid or mesh without axes.
    pub fn is_curved(&self, variable: &Variable) -> bool {
        self.curved_of(variable).is_some()
    }

    fn curved_of(&self, variable: &Variable) -> Option<&Result<Arc<Grid>>> {
        if let Some(node) = self.dim(variable, Role::Node) {
            return self.meshes.points.get(&node.name);
        }
        let (row, column) = (self.dim(variable, Role::Row)?, self.dim(variable, Role::Column)?);
        self.meshes.curved.get(&(row.name.clone(), column.name.clone()))
    }

    fn entry(&self, variable: &Variable) -> Result<(Arc<Grid>, FieldLayout)> {
        if let Some(grid) = self.curved_of(variable) {
            return grid.clone().map(plainly_laid);
        }
        if let Some(mapping) = variable.text("grid_mapping").and_then(|text| self.projection(text)) {
            return Err(Error::new("the variable is on a projected or rotated grid")
                .found(format!("grid_mapping_name {mapping}"))
                .expected("latitude_longitude")
                .remedy("bring it to a grid of latitude and longitude first"));
        }
        let dims = self.dim(variable, Role::Lat).zip(self.dim(variable, Role::Lon));
        let Some((lat, lon)) = dims else {
            if let Some(stations) = self.stations_of(variable) {
                return stations.grid.clone().map(plainly_laid);
            }
            return Err(no_grid::error(&self.variables, variable));
        };
        let key = (lat.name.clone(), lon.name.clone());
        self.grids.get(&key).cloned().unwrap_or_else(|| Err(Error::new("a grid without coordinates")))
    }

    /// The name of a grid mapping that is not plain latitude and longitude. The attribute names a variable, or several with
    /// their coordinates ("crs: lat lon").
    fn projection(&self, grid_mapping: &str) -> Option<&str> {
        let names = grid_mapping.split_whitespace().map(|name| name.trim_end_matches(':'));
        let found = names.filter_map(|name| self.mappings.get(name)).map(String::as_str);
        found.into_iter().find(|name| *name != "latitude_longitude")
    }

    /// The stations a variable is of.
    fn stations_of(&self, variable: &Variable) -> Option<&Stations> {
        let stations = self.stations.as_ref()?;
        let along = self.dim(variable, Role::Station).map(|dim| &dim.name) == stations.dim.as_ref();
        let on_axis = [Role::Lat, Role::Lon].into_iter().any(|role| self.dim(variable, role).is_some());
        (along && !on_axis && !variable.dims.is_empty()).then_some(stations)
    }

    /// How a variable's slices lie in the file.
    ///
    /// # Errors
    /// As [`Axes::grid_of`].
    pub fn layout(&self, variable: &Variable) -> Result<FieldLayout> {
        let (_, layout) = self.entry(variable)?;
        let position = |role| variable.dims.iter().position(|d| self.roles.get(&d.name) == Some(&role));
        let turned =
            position(Role::Lat) > position(Role::Lon) || position(Role::Row) > position(Role::Column);
        Ok(FieldLayout { lat_first: !turned, ..layout })
    }

    /// Every time and member of a variable, at one of its levels.
    ///
    /// # Errors
    /// A dimension of more than one that is none of those known.
    pub fn places(&self, variable: &Variable, level: &WindLevel) -> Result<Vec<FieldPlace>> {
        let mut found = vec![Draft::default()];
        for dim in &variable.dims {
            let role = self.roles.get(&dim.name).copied();
            let mut longer = Vec::new();
            for draft in found {
                if let WindLevel::At { dim: vertical, index } = level
                    && *vertical == dim.name
                {
                    longer.push(draft.with(Pick::One(*index)));
                    continue;
                }
                match role {
                    Some(role) if is_of_place(role) => longer.push(draft.with(Pick::All)),
                    Some(Role::Frequency | Role::Direction) => longer.push(draft.with(Pick::All)),
                    Some(Role::Time | Role::Period) => {
                        longer.extend((0..dim.size).map(|index| draft.clone().along(dim, index)));
                    }
                    Some(Role::Member) => {
                        let members = self.members.get(&dim.name).into_iter().flatten();
                        longer.extend(members.enumerate().map(|(index, member)| {
                            let draft = draft.clone().along(dim, index as u64);
                            Draft { member: Some(*member), ..draft }
                        }));
                    }
                    Some(Role::Rank) => {
                        // a rank that no model writes is left out with its fields
                        let ranks = self.ranks.get(&dim.name).into_iter().flatten().enumerate();
                        longer.extend(ranks.filter(|(_, rank)| **rank > 0).map(|(index, rank)| Draft {
                            rank: Some(*rank),
                            ..draft.clone().along(dim, index as u64)
                        }));
                    }
                    None if dim.size == 1 => longer.push(draft.with(Pick::One(0))),
                    Some(_) | None => {
                        return Err(Error::new("a variable has a dimension that is not known")
                            .found(format!("{} of {}", dim.name, dim.size))
                            .expected("time, latitude, longitude, forecast period or ensemble member")
                            .remedy(
                                "choose one of its values, for example with a NetCDF tool, before reading",
                            ));
                    }
                }
            }
            found = longer;
        }
        let mut places = Vec::new();
        for draft in found {
            let scalar =
                self.scalar_rank.as_ref().filter(|(name, _)| lists(variable, name)).map(|(_, rank)| *rank);
            places.extend(self.finish(Draft { rank: draft.rank.or(scalar), ..draft })?);
        }
        Ok(places)
    }

    /// A field without a time of its own, such as the depth, is there at every time of the file.
    fn finish(&self, draft: Draft) -> Result<Vec<FieldPlace>> {
        let first = self.all_times.iter().map(|when| when.reference.unwrap_or(when.valid)).min();
        let times = match self.times.when(&draft.places)? {
            Some(when) => vec![when],
            None => self.all_times.iter().copied().collect(),
        };
        let place = |when: When| FieldPlace {
            reference: when.reference.or(first).unwrap_or(when.valid),
            valid: when.valid,
            member: draft.member.or(self.scalar_member),
            rank: draft.rank,
            picks: draft.picks.clone(),
        };
        Ok(times.into_iter().map(place).collect())
    }
}

#[derive(Debug, Clone, Default)]
struct Draft {
    places: Places,
    member: Option<u32>,
    rank: Option<u8>,
    picks: Vec<Pick>,
}

impl Draft {
    fn with(mut self, pick: Pick) -> Self {
        self.picks.push(pick);
        self
    }

    fn along(mut self, dim: &Dim, index: u64) -> Self {
        self.places.insert(dim.name.clone(), index);
        self.with(Pick::One(index))
    }
}

/// Places in the order of the file.
fn plainly_laid(grid: Arc<Grid>) -> (Arc<Grid>, FieldLayout) {
    let (rows, columns) = (grid.rows(), grid.columns());
    (grid, FieldLayout { rows, columns, lat_first: true, southward: false, westward: false })
}

fn is_of_place(role: Role) -> bool {
    matches!(role, Role::Lat | Role::Lon | Role::Station | Role::Row | Role::Column | Role::Node)
}

/// Whether a variable's `coordinates` lists a scalar.
fn lists(variable: &Variable, name: &str) -> bool {
    variable.text("coordinates").is_some_and(|names| names.split_whitespace().any(|one| one == name))
}

fn mapping(variable: &Variable) -> Option<(String, String)> {
    variable.text("grid_mapping_name").map(|name| (variable.name.clone(), name.to_owned()))
}

fn read_grid(file: &File, lat: &Variable, lon: &Variable) -> Result<(Arc<Grid>, FieldLayout)> {
    let (mut lats, mut lons) = (file.coordinate(lat)?, file.coordinate(lon)?);
    let descends = |axis: &[f64]| matches!(axis, [first, .., last] if first > last);
    let southward = descends(&lats);
    if southward {
        lats.reverse();
    }
    // a westward axis descends at every step; one that only jumps at 180 or 360 does not
    let westward = lons.len() > 1 && lons.windows(2).all(|pair| pair[1] < pair[0]);
    if westward {
        lons.reverse();
    }
    unbreak(&mut lons);
    let (rows, columns) = (lats.len(), lons.len());
    let grid = Grid::new(lats, lons)?;
    Ok((Arc::new(grid), FieldLayout { rows, columns, lat_first: true, southward, westward }))
}

/// Makes eastward longitudes that jump back at 180 or 360 run on.
fn unbreak(lons: &mut [f64]) {
    if let Some(jump) = lons.windows(2).position(|pair| pair[1] < pair[0]) {
        lons[jump + 1..].iter_mut().for_each(|lon| *lon += 360.0);
    }
}
