"""When thin things in compression or shear give way sideways, in closed form.

All of these are stresses or loads of perfect strips and sheets; home-built ones have a fold, a dent
or a glue gap. Real buckling loads of thin sheet lie from about half of these to all of them.
"""

from __future__ import annotations

import math

from plansgen.structure.elastic import Sheet, Solid

POISSON = 0.3
"""Poisson's ratio used for the bending of solid sheet."""

COMPRESSED = 4.0
"""Buckling factor of a long plate in compression, its long edges held but free to turn."""

SHEARED = 5.35
"""Buckling factor of a long plate in shear, its long edges held but free to turn."""


def wrinkling_stress(face: Solid, core: Solid) -> float:
    """Stress at which a thin face wrinkles on its core. [Pa]

    σ = 0.5 (E_f E_c G_c)^⅓: the half instead of theory's 0.91 stands for faces that are not flat.
    Source: N. J. Hoff & S. E. Mautner, *The buckling of sandwich-type panels*, J. Aeronautical
    Sciences 12 (1945); H. G. Allen, *Analysis and Design of Structural Sandwich Panels* (1969),
    both from memory. Limits: an even core, thick against the length of the wrinkle.
    """
    return 0.5 * float((face.modulus * core.modulus * core.shear_modulus) ** (1 / 3))


def face_limit(sheet: Sheet, *, pitch: float | None, along_flutes: bool) -> float | None:
    """Stress at which a pushed face of a sheet gives way sideways; None for plain sheet. [Pa]

    pitch: between lines of glue of a fluted core [m], None for an even core. along_flutes: pushed
    along the flutes; across them a liner is a row of short struts and not a plate, with a quarter.
    """
    core, face = sheet.core, sheet.plies[0]
    if core is None:
        return None
    if pitch is None:
        return wrinkling_stress(face.solid, core.solid)
    plate = liner_stress(face.solid, thickness=face.thickness, pitch=pitch)
    return plate if along_flutes else plate / COMPRESSED


def flute_pitch(thickness: float) -> float:
    """Distance between lines of glue of corrugated board of that thickness. [m]

    By the usual flutes per metre: E 290, B 150, C 130, A 110 (from memory of Twede et al.,
    *Cartons, Crates and Corrugated Board*, 2nd ed. 2015).
    """
    for most, flutes in ((0.0020, 290), (0.0032, 150), (0.0043, 130)):
        if thickness < most:
            return 1 / flutes
    return 1 / 110


def plate_load(
    *, stiffness: float, bay: float, core_shear: float = math.inf, factor: float = COMPRESSED
) -> float:
    """Load per width at which a long bay of sheet buckles. [N/m]

    k π² D/b², and for a sandwich N/(1 + N/S): its core gives in shear (Allen 1969, from memory;
    the plain plate: S. P. Timoshenko & J. M. Gere, *Theory of Elastic Stability*, from memory).
    For sheet that is stiffer one way D is √(D₁ D₂), after Huber. Limits: flat bay, edges that may
    turn; a curved skin stands more.

    stiffness: D [N m]. bay: width between supports [m]. core_shear: S [N/m].
    """
    bent = factor * math.pi**2 * stiffness / bay**2
    return bent / (1 + bent / core_shear)


def liner_stress(face: Solid, *, thickness: float, pitch: float) -> float:
    """Stress at which the liner of corrugated board buckles between its lines of glue. [Pa]

    k π² E/(12 (1 - ν²)) (t/p)² with k = 4: a plate held along both lines of glue (Timoshenko &
    Gere, from memory). That light liners do this was seen by R. Popil, *BioResources* 7 (2012).

    thickness: of the liner. pitch: between lines of glue, one flute. [m]
    """
    ratio = thickness / pitch
    return COMPRESSED * math.pi**2 * face.modulus / (12 * (1 - POISSON**2)) * ratio**2


def column_load(*, bending: float, length: float, ends: float = 1.0) -> float:
    """Euler's load of a straight strut. [N]

    bending: EI about its weak way [N m²]. length: between supports [m]. ends: 1 for pinned ends, 2
    for one end built in and the other free. Source: Euler; any text, Timoshenko & Gere.
    """
    return math.pi**2 * bending / (ends * length) ** 2
