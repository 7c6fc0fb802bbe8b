"""Rate, index and solid length of wound springs, against published and derived values.

Lengths in mm, forces in N, moduli in N/mm².
"""

from __future__ import annotations

import math

import pytest

from solver.spring_formulas import (
    ELASTIC_PATENTED,
    SHEAR_PATENTED,
    bending_stress,
    coil_rate,
    shear_stress,
    solid_lengths,
    spring_index,
    torsion_rate,
)
from solver.torsion_shape import inside_wound


def test_the_en_13906_1_fixture() -> None:
    """d 2, D 16, n 6.5, G 81 500. The formulas are recalled from memory, the numbers follow.

    R = 81 500 · 2⁴ / (8 · 16³ · 6.5) = 6.12230 N/mm, w = 8; n_t = 8.5 with d = d_max, so
    L_c = 17.0 mm ground and (8.5 + 1.5) · 2 = 20.0 mm unground.
    """
    assert spring_index(2.0, 16.0) == 8.0
    assert coil_rate(2.0, 16.0, 6.5, SHEAR_PATENTED) == pytest.approx(6.12230, rel=1e-5)
    assert solid_lengths(2.0, 8.5) == (17.0, 20.0)


def test_shigley_problem_10_3() -> None:
    """Shigley, Mechanical Engineering Design, 10th/11th ed., solution of problem 10-3 (read).

    Music wire d 2.5, outside diameter 31, plain ground ends, N_t 14, N_a 13, G 81.0 GPa: D 28.5,
    C 11.4, k 1.314 N/mm, L_s 35 mm. Exact k 1.3142.
    """
    mean = 31.0 - 2.5
    assert spring_index(2.5, mean) == pytest.approx(11.4, rel=1e-12)
    assert coil_rate(2.5, mean, 13.0, 81_000.0) == pytest.approx(1.3142, rel=1e-4)
    assert solid_lengths(2.5, 14.0)[0] == 35.0


@pytest.mark.parametrize(
    ("wire", "mean", "working", "rate"),
    [
        # Jindal, Machine Design, example 8-1 (inputs read; the book's companion divides whole
        # numbers, so its 16.0 N/mm is replaced by the exact value).
        pytest.param(5.0, 30.0, 15.0, 16.204, id="Jindal 8-1"),
        # Sadhu Singh, Machine Design-I, example 8.3 (read): 9.72 N/mm, exact 9.7222.
        pytest.param(3.0, 18.0, 15.0, 9.7222, id="Sadhu 8.3"),
    ],
)
def test_textbook_rates(wire: float, mean: float, working: float, rate: float) -> None:
    """Both with G 84 GPa."""
    assert coil_rate(wire, mean, working, 84_000.0) == pytest.approx(rate, rel=1e-4)


def test_the_rate_stores_the_energy_of_the_twisted_wire() -> None:
    """Derived: F²/2R = τ²V/4G with τ = 8DF/πd³ and V = π²d²Dn/4; 294.007 N·mm.

    d 2, D 16, n 6.5, F 60.
    """
    wire, mean, working, force = 2.0, 16.0, 6.5, 60.0
    stress = 8.0 * mean * force / (math.pi * wire**3)
    volume = math.pi**2 * wire**2 * mean * working / 4.0
    stored = force**2 / (2.0 * coil_rate(wire, mean, working, SHEAR_PATENTED))
    assert stored == pytest.approx(stress**2 * volume / (4.0 * SHEAR_PATENTED), rel=1e-12)
    assert stored == pytest.approx(294.007, rel=1e-5)


@pytest.mark.parametrize(
    ("wire", "mean", "percent"),
    [(1.01, 1.0, 4.060401), (1.0, 1.01, -2.940985), (1.015, 1.0, 6.136355),
     (0.985, 1.0, -5.866345)],
)  # fmt: skip
def test_what_a_little_more_wire_or_diameter_does(wire: float, mean: float, percent: float) -> None:
    """Derived: R grows as d⁴ and falls as D³."""
    usual = coil_rate(2.0, 16.0, 6.5, SHEAR_PATENTED)
    other = coil_rate(2.0 * wire, 16.0 * mean, 6.5, SHEAR_PATENTED)
    assert 100.0 * (other / usual - 1.0) == pytest.approx(percent, abs=1e-6)


def test_the_en_13906_3_fixture() -> None:
    """d 2, D 16, n 5, E 206 000: R = E d⁴/(3667 D n) = 11.2353 N·mm/° = 643.75 N·mm/rad.

    The formula is recalled from memory; 3667 stands for 64 · 180/π = 3666.93, so the digits
    agree to 2e-5. At 1000 N·mm the spring has turned by 89.005°.
    """
    rate = torsion_rate(2.0, 16.0, 5.0, ELASTIC_PATENTED)
    assert math.degrees(rate) == pytest.approx(643.75, rel=1e-12)
    assert rate == pytest.approx(11.2353, rel=1e-4)
    assert 1000.0 / rate == pytest.approx(89.005, rel=1e-4)
    assert rate == pytest.approx(206_000.0 * 16.0 / (3667.0 * 16.0 * 5.0), rel=5e-5)


def test_the_en_13906_3_fixture_wound_up() -> None:
    """The same spring at 1000 N·mm, so at 89.005°: D_i = 16 · 5/(5 + 89.005/360) - 2 = 13.2462.

    D_iα = D n/(n + α/360) - d is recalled from memory; derived, the wire of π D n keeps its length.
    """
    inside = inside_wound(2.0, 16.0, 5.0, 89.005)
    assert inside == pytest.approx(13.2462, rel=1e-5)
    turns = 5.0 + 89.005 / 360.0
    assert math.pi * (inside + 2.0) * turns == pytest.approx(math.pi * 16.0 * 5.0, rel=1e-12)
    assert inside_wound(2.0, 16.0, 5.0, 0.0) == 14.0


def test_the_torsion_rate_stores_the_energy_of_the_bent_wire() -> None:
    """Derived: M²/2k = σ²V/8E with σ = 32M/πd³ and V = π²d²Dn/4; 776.699 N·mm."""
    wire, mean, coils, moment = 2.0, 16.0, 5.0, 1000.0
    stress = 32.0 * moment / (math.pi * wire**3)
    volume = math.pi**2 * wire**2 * mean * coils / 4.0
    stiff = math.degrees(torsion_rate(wire, mean, coils, ELASTIC_PATENTED))
    assert moment**2 / (2.0 * stiff) == pytest.approx(776.699, rel=1e-6)
    assert moment**2 / (2.0 * stiff) == pytest.approx(
        stress**2 * volume / (8.0 * ELASTIC_PATENTED), rel=1e-12
    )


def test_the_legs_of_a_torsion_spring_bend_with_its_coils() -> None:
    """d 2.25, D 14.85, n 5.25, legs of 59.98 and 53.97: D n = 77.96, legs 12.09, together 90.05.

    206 000 · 25.63 / (3667 · 90.05) = 15.99 N·mm/°. N_a = N_b + (l1 + l2)/(3 π D) as Shigley has
    it, section 10-12, recalled from memory.
    """
    rate = torsion_rate(2.25, 14.85, 5.25, ELASTIC_PATENTED, 59.98 + 53.97)
    assert rate == pytest.approx(15.99, abs=0.005)
    assert rate / torsion_rate(2.25, 14.85, 5.25, ELASTIC_PATENTED) == pytest.approx(
        77.9625 / (77.9625 + 113.95 / (3.0 * math.pi)), rel=1e-12
    )


def test_the_energy_of_bent_legs_is_that_of_the_rate() -> None:
    """Derived by energy: ∫ M² ds / 2EI over the coils, M all along, and the legs, M s / L.

    Summed in small steps of the legs, where the bending moment falls from M at the coil to 0.
    """
    wire, mean, coils, moment = 2.0, 16.0, 5.0, 1000.0
    stiffness = ELASTIC_PATENTED * math.pi * wire**4 / 64.0
    stored = moment**2 * math.pi * mean * coils / (2.0 * stiffness)
    steps = 10_000
    for leg in (40.0, 50.0):
        bent = sum((moment * (step + 0.5) / steps) ** 2 for step in range(steps))
        stored += bent * leg / steps / (2.0 * stiffness)
    rate = math.degrees(torsion_rate(wire, mean, coils, ELASTIC_PATENTED, 90.0))
    assert moment**2 / (2.0 * rate) == pytest.approx(stored, rel=1e-6)


def test_stresses_of_the_round_wire() -> None:
    """σ = M c / I with c = d/2, I = πd⁴/64; τ = T c / J with T = F D/2, J = πd⁴/32 (derived).

    Shigley has both forms, equations 10-43 (K left out) and 10-2 (K left out), from memory.
    d 2.25 at 1178 N·mm: 1053.4 N/mm²; d 2, D 16 at 60 N: 305.58 N/mm².
    """
    wire = 2.25
    assert bending_stress(wire, 1178.0) == pytest.approx(
        1178.0 * (wire / 2.0) / (math.pi * wire**4 / 64.0), rel=1e-12
    )
    assert bending_stress(wire, 1178.0) == pytest.approx(1053.4, abs=0.05)
    assert shear_stress(2.0, 16.0, 60.0) == pytest.approx(
        60.0 * 8.0 * 1.0 / (math.pi * 16.0 / 32.0), rel=1e-12
    )
    assert shear_stress(2.0, 16.0, 60.0) == pytest.approx(305.58, abs=0.005)
