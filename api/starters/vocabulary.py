"""The words that families, positions and seats are described with. Pure."""

CONSTRUCTIONS = (
    "direct_drive",
    "offset_gear_reduction",
    "planetary_gear_reduction",
    "movable_pole_shoe",
    "inertia_drive",
)
FIELDS = ("wound", "permanent_magnet")
ROTATIONS = ("clockwise", "counter_clockwise")
ACCESS_CLASSES = ("easy", "moderate", "hard")

CONTACT_POSITIONS = ("battery_side_contact", "motor_side_contact", "contact_disc")
POSITION_KINDS: dict[str, str | None] = {
    "battery_side_contact": "contact",
    "motor_side_contact": "contact",
    "contact_disc": "contact",
    "drive_end_bushing": "bushing",
    "commutator_end_bushing": "bushing",
    "intermediate_bushing": "bushing",
    "drive_end_bearing": None,
    "commutator_end_bearing": None,
    "brush_set": "brush_set",
    "drive_clutch": "drive_clutch",
    "plunger": None,
    "return_spring": None,
    "planet_gears": None,
}
"""Every position, with the kind that its parts are of; None where the kind is not fixed."""

SEAT_RANGES = (
    "housing_bore",
    "housing_depth",
    "housing_outside_diameter",
    "shaft_diameter",
    "holder_thickness",
    "holder_width",
    "lead_reach",
    "stud_diameter",
    "stud_spacing",
    "face_height",
    "face_gap",
    "disc_diameter",
    "disc_travel",
    "over_travel",
    "rest_clearance",
    "travel",
    "centre_distance",
    "spline_major_diameter",
    "helix_lead",
    "drive_length",
    "fork_thickness",
)
SEAT_COUNTS = ("ring_gear_teeth", "spline_count")
SEAT_CHOICES = {
    "housing_bore_form": ("through", "blind"),
    "housing_material": ("aluminium", "cast_iron", "steel"),
    "helix_hand": ("left", "right", "straight"),
}
SEAT_THREADS = ("stud_thread",)
SEAT_FEATURES = (*SEAT_RANGES, *SEAT_COUNTS, *SEAT_CHOICES, *SEAT_THREADS)
