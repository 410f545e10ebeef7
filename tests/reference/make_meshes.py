"""Invented seas on a curvilinear grid and on a mesh, by netCDF4 1.7.5.1: `python make_meshes.py tests/data`.

`curvilinear.nc`: a grid turned by 30 degrees, one point without a place. `mesh-ww3.nc`: nodes and `tri`, counted from 1.
`mesh-ugrid.nc`: values at the faces of a UGRID 1.0 mesh of a quadrilateral and a triangle, filled up with -1.
"""
import pathlib
import sys

import netCDF4
import numpy as np

P = "sea_surface_wave_"
FIELDS = [("hs", "m", P + "significant_height", 2.0), ("tp", "s", P + "period_at_variance_spectral_density_maximum", 8.0),
          ("dir", "degree", P + "from_direction", 250.0), ("ws", "m s-1", "wind_speed", 9.0),
          ("wd", "degree", "wind_from_direction", 240.0)]


def create(path, dims):
    d = netCDF4.Dataset(path, "w")
    for name, size in {"time": 1, **dims}.items():
        d.createDimension(name, size)
    t = d.createVariable("time", "f8", ("time",))
    t.units, t.standard_name, t[:] = "hours since 2024-01-15", "time", [0.0]
    return d


def place(d, name, unit, standard, dims, values):
    v = d.createVariable(name, "f8", dims, fill_value=-999.0)
    v.units, v.standard_name, v[:] = unit, standard, np.ma.masked_invalid(values)


def fields(d, dims, **attributes):
    shape = [d.dimensions[k].size for k in dims]
    for name, unit, standard, value in FIELDS:
        v = d.createVariable(name, "f4", ("time", *dims))
        v.units, v.standard_name, v[:] = unit, standard, np.full((1, *shape), value)
        v.setncatts(attributes)
    d.close()


def main():
    data = pathlib.Path(sys.argv[1])
    d = create(data / "curvilinear.nc", {"y": 5, "x": 6})
    i, j = np.meshgrid(np.arange(6) * 0.5, np.arange(5) * 0.5)
    turn = np.radians(30)
    lon, lat = -30 + i * np.cos(turn) - j * np.sin(turn), 45 + i * np.sin(turn) + j * np.cos(turn)
    lon[0, 0] = lat[0, 0] = np.nan
    place(d, "nav_lon", "degrees_east", "longitude", ("y", "x"), lon)
    place(d, "nav_lat", "degrees_north", "latitude", ("y", "x"), lat)
    fields(d, ("y", "x"), coordinates="nav_lon nav_lat")

    d = create(data / "mesh-ww3.nc", {"node": 4, "element": 2, "noel": 3})
    place(d, "longitude", "degree_east", "longitude", ("node",), [-30, -29, -29, -30])
    place(d, "latitude", "degree_north", "latitude", ("node",), [0, 0, 1, 1])
    d.createVariable("tri", "i4", ("element", "noel"))[:] = [[1, 2, 3], [1, 3, 4]]
    fields(d, ("node",))

    d = create(data / "mesh-ugrid.nc", {"nNode": 5, "nFace": 2, "four": 4})
    m = d.createVariable("Mesh2", "i4", ())
    m.cf_role, m.topology_dimension = "mesh_topology", np.int32(2)
    m.node_coordinates, m.face_node_connectivity = "Mesh2_node_x Mesh2_node_y", "Mesh2_face_nodes"
    place(d, "Mesh2_node_x", "degrees_east", "longitude", ("nNode",), [-30, -29, -29, -30, -28])
    place(d, "Mesh2_node_y", "degrees_north", "latitude", ("nNode",), [0, 0, 1, 1, 0])
    c = d.createVariable("Mesh2_face_nodes", "i4", ("nFace", "four"), fill_value=-1)
    c.cf_role, c.start_index, c[:] = "face_node_connectivity", np.int32(0), [[0, 1, 2, 3], [1, 4, 2, -1]]
    fields(d, ("nFace",), mesh="Mesh2", location="face")


if __name__ == "__main__":
    main()
