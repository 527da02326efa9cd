"""One setting to start from: a bench with nothing against it, and a seat that came out well."""

from platebook.demo.simulated_setter import BenchTonight, CutSeat

BENCH = BenchTonight(
    stone_mm=2.0,
    bur_mm=1.9,
    bur_uses=0,
    tonight_mm=0.0,
    speed="medium",
    runout="none seen",
    lubricant="wax",
    metal_state="annealed today",
    support="thermoplastic",
    punch="copper",
    polished=True,
    checks="3-5",
    passes="2",
    sterling=False,
)

LEVEL = CutSeat(
    diameter_mm=1.98,
    clearance_mm=-0.02,
    depth_mm=0.414,
    proud_mm=-0.03,
    lean_deg=0.0,
    stone_tilt_deg=0.0,
)
