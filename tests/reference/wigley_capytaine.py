"""Zero-speed heave and pitch of Wigley hulls from a panel code, for tests/physics/journee.rs: hull III (B 0.3 m) in head
waves, and the same hull twice as wide (hull IV, B 0.6 m) in oblique waves. mu is 90 beam, 180 head.

Command: python tests/reference/wigley_capytaine.py > tests/reference/wigley_capytaine.csv
Versions: capytaine 3.0.0, numpy 2.4.6.

Linear potential flow in deep water, 3-D. The mesh is symmetric about the centre plane. Heave and pitch only,
about the waterline amidships; centre of gravity at the centre of buoyancy, gyradius 0.75 m (Journee 1992), so
mass, stiffness and axes are those of the strip theory and only the hydrodynamics differ. Phases are dropped.
"""
import sys

import capytaine as cpt
import numpy as np

L, T, KYY, RHO, G = 3.0, 0.1875, 0.75, 1000.0, 9.80665
NX, NZ = (int(a) for a in sys.argv[1:3]) if len(sys.argv) > 2 else (60, 14)
cpt.set_logging("ERROR")


def half_mesh(B):
    x = -L / 2 * np.cos(np.linspace(0, np.pi, NX + 1))
    z = -T * np.sin(np.linspace(0, np.pi / 2, NZ + 1))[::-1]
    X, Z = np.meshgrid(x, z, indexing="ij")
    s = (2 * X / L) ** 2
    Y = B / 2 * (1 - (Z / T) ** 2) * (1 - s) * (1 + 0.2 * s)
    vertices = np.stack([X, Y, Z], axis=-1).reshape(-1, 3)
    n = NZ + 1
    # counter-clockwise seen from the water: outward normal towards +y
    faces = [[i * n + j, i * n + j + 1, (i + 1) * n + j + 1, (i + 1) * n + j] for i in range(NX) for j in range(NZ)]
    return cpt.Mesh(vertices=vertices, faces=np.array(faces))


def hull(B):
    half = half_mesh(B)
    assert half.faces_normals[:, 1].mean() > 0
    mesh = cpt.ReflectionSymmetricMesh(half, plane="xOz")
    dofs = cpt.rigid_body_dofs(only=["Heave", "Pitch"], rotation_center=(0, 0, 0))
    x = np.linspace(-1, 1, 2001)
    beam = B * (1 - x**2) * (1 + 0.2 * x**2)
    volume = np.trapezoid(beam, x) * L / 2 * T * 2 / 3
    mass = np.diag([RHO * volume, RHO * volume * KYY**2])
    plane = np.diag([np.trapezoid(beam, x), np.trapezoid(beam * (x * L / 2) ** 2, x)])
    return cpt.FloatingBody(mesh=mesh, dofs=dofs), mass, RHO * G * L / 2 * plane


solver = cpt.BEMSolver()
print("beam_m,mu_deg,lambda_over_l,heave_m_per_m,pitch_rad_per_m,f3_n_per_m,f5_n")
for B, headings in ((0.3, [180.0]), (0.6, [90.0, 120.0, 150.0])):
    body, mass, stiffness = hull(B)
    for ratio in (0.75, 1.0, 1.25, 1.5, 1.75, 2.0):
        omega = np.sqrt(2 * np.pi * G / (ratio * L))
        setting = dict(body=body, omega=omega, water_depth=np.inf, rho=RHO, g=G)
        problems = [cpt.RadiationProblem(radiating_dof=dof, **setting) for dof in body.dofs]
        problems += [cpt.DiffractionProblem(wave_direction=np.radians(mu), **setting) for mu in headings]
        data = cpt.assemble_dataset(solver.solve_all(problems, progress_bar=False))
        dofs = list(body.dofs)
        order = dict(radiating_dof=dofs, influenced_dof=dofs)
        a = data.added_mass.sel(order).values.squeeze()
        b = data.radiation_damping.sel(order).values.squeeze()
        forces = data.excitation_force if "excitation_force" in data else data.Froude_Krylov_force + data.diffraction_force
        for mu in headings:
            f = forces.sel(influenced_dof=dofs).sel(wave_direction=np.radians(mu), method="nearest").values.squeeze()
            rao = np.abs(np.linalg.solve(-(omega**2) * (mass + a) - 1j * omega * b + stiffness, f))
            numbers = (rao[0], rao[1], abs(f[0]), abs(f[1]))
            print(",".join([f"{B},{mu:g},{ratio}"] + [f"{v:.5g}" for v in numbers]), flush=True)
