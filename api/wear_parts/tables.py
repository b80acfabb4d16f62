"""Tables of kinds, dimensions, makers, sizes, wear parts, numbers and supersessions."""

from sqlalchemy import Column, ForeignKeyConstraint, Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from api.columns import STRICT, WHOLE, check, day, one_of, real, reference, says_one_thing, text, whole

MEASURES = ("length", "count", "choice")
WAYS = ("outside", "inside", "depth", "span", "count", "look")
WEAR_SENSES = ("grows", "shrinks", "none")
PROVENANCES = ("drawing", "catalogue", "measured")
SCHEMES = ("maker", "original_equipment", "aftermarket", "gtin")
VOLTAGES = "(6, 12, 24)"


class Kind(SQLModel, table=True):
    """A kind of wear part and the model that matches it."""

    __tablename__ = "kind"
    __table_args__ = (
        check("unlisted_prior_is_chance", "unlisted_prior > 0 AND unlisted_prior < 1"),
        STRICT,
    )

    code: str = text(key=True)
    name: str = text()
    description: str = text()
    model_version: str = text()
    unlisted_prior: float = real()
    unlisted_prior_origin: str = text()


class Dimension(SQLModel, table=True):
    """One measurable feature of a kind, with the figures that the matching model takes of it.

    `span_lower` and `span_upper` are nanometres for a length, pieces for a count, absent for a choice.
    `two_point_over` names the count (teeth) at whose odd values two opposite faces read low.
    """

    __tablename__ = "dimension"
    __table_args__ = (
        one_of("measure", MEASURES),
        one_of("how", WAYS),
        one_of("wear_sense", WEAR_SENSES),
        check("slip_is_chance", "slip_chance > 0 AND slip_chance < 1"),
        check("miscount_is_chance", "miscount_chance > 0 AND miscount_chance < 1"),
        check("span_is_range", "(span_lower IS NULL) = (measure = 'choice') AND span_lower < span_upper"),
        check("span_is_whole", "(span_lower IS NULL) = (span_upper IS NULL)"),
        check("wear_has_scale", "(wear_scale_nm IS NOT NULL) = (wear_sense <> 'none')"),
        check("wear_scale_positive", "wear_scale_nm > 0"),
        check("only_lengths_wear", "wear_sense = 'none' OR measure = 'length'"),
        STRICT,
    )

    kind_code: str = reference("kind.code", key=True)
    code: str = text(key=True)
    sequence: int = whole()
    name: str = text()
    measure: str = text()
    how: str = text()
    place: str = text()
    wear_sense: str = text()
    wear_scale_nm: int | None = whole(optional=True)
    span_lower: int | None = whole(optional=True)
    span_upper: int | None = whole(optional=True)
    slip_chance: float = real()
    miscount_chance: float = real()
    two_point_over: str | None = text(optional=True)
    origin: str = text()


class DimensionChoice(SQLModel, table=True):
    """One value that a choice (rotation, hand, shape) can take."""

    __tablename__ = "dimension_choice"
    __table_args__ = (
        ForeignKeyConstraint(["kind_code", "dimension_code"], ["dimension.kind_code", "dimension.code"]),
        STRICT,
    )

    kind_code: str = text(key=True)
    dimension_code: str = text(key=True)
    value: str = text(key=True)
    label: str = text()
    sequence: int = whole()


class Maker(SQLModel, table=True):
    """Who makes a part or a starter."""

    __tablename__ = "maker"
    __table_args__ = (day("withdrawn_on"), STRICT)

    code: str = text(key=True)
    name: str = text()
    withdrawn_on: str | None = text(optional=True)


class Size(SQLModel, table=True):
    """One distinct set of dimensions with tolerances; makers share standard sizes."""

    __tablename__ = "size"
    __table_args__ = (UniqueConstraint("id", "kind_code"), day("withdrawn_on"), STRICT)

    id: str = text(key=True)
    kind_code: str = reference("kind.code")
    code: str = text(unique=True)
    withdrawn_on: str | None = text(optional=True)


class SizeValue(SQLModel, table=True):
    """What a size says of one dimension: a range, a count, a choice, or that it does not apply.

    No row means that the size does not record the dimension. `knowledge_uncertainty_nm` is the standard
    uncertainty with which a measured range is known, apart from its width; absent where it was stated.
    """

    __tablename__ = "size_value"
    __table_args__ = (
        ForeignKeyConstraint(["size_id", "kind_code"], ["size.id", "size.kind_code"]),
        ForeignKeyConstraint(["kind_code", "dimension_code"], ["dimension.kind_code", "dimension.code"]),
        Index("ix_size_value_kind_code_dimension_code_lower_nm", "kind_code", "dimension_code", "lower_nm"),
        one_of("provenance", PROVENANCES),
        check("applies_is_flag", "applies IN (0, 1)"),
        check("range_is_whole", "(lower_nm IS NULL) = (upper_nm IS NULL)"),
        check("range_is_ordered", "lower_nm > 0 AND lower_nm <= upper_nm"),
        check("count_is_plausible", "count_value >= 0 AND count_value <= 999"),
        says_one_thing("lower_nm", "count_value", "choice_value", expected="applies"),
        check("knowledge_uncertainty_not_negative", "knowledge_uncertainty_nm >= 0"),
        STRICT,
    )

    size_id: str = text(key=True)
    dimension_code: str = text(key=True)
    kind_code: str = text()
    applies: int = whole(default=1)
    lower_nm: int | None = whole(optional=True)
    upper_nm: int | None = whole(optional=True)
    count_value: int | None = whole(optional=True)
    choice_value: str | None = text(optional=True)
    provenance: str = text()
    knowledge_uncertainty_nm: int | None = whole(optional=True)


class Part(SQLModel, table=True):
    """One maker's wear part."""

    __tablename__ = "part"
    __table_args__ = (
        UniqueConstraint("maker_code", "number"),
        ForeignKeyConstraint(["size_id", "kind_code"], ["size.id", "size.kind_code"]),
        Index("ix_part_size_id", "size_id"),
        Index("ix_part_kind_code_id", "kind_code", "id"),
        one_of("provenance", PROVENANCES),
        check("voltage_known", f"voltage IN {VOLTAGES}"),
        check("number_not_empty", "length(number) > 0"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    kind_code: str = text()
    size_id: str = text()
    maker_code: str = reference("maker.code", index=False)
    number: str = text()
    description: str = text()
    material: str | None = text(optional=True)
    grade: str | None = text(optional=True)
    voltage: int | None = whole(optional=True)
    provenance: str = text()
    withdrawn_on: str | None = text(optional=True)


class Number(SQLModel, table=True):
    """An identifier that a part or a starter goes by; found by its normalised form."""

    __tablename__ = "number"
    __table_args__ = (
        one_of("scheme", SCHEMES),
        check("belongs_to_one", "(part_id IS NULL) <> (starter_id IS NULL)"),
        check("normalised_not_empty", "length(normalised) > 0"),
        day("withdrawn_on"),
        STRICT,
    )

    id: str = text(key=True)
    part_id: str | None = reference("part.id", optional=True)
    starter_id: str | None = reference("starter.id", optional=True)
    scheme: str = text()
    issuer: str | None = text(optional=True)
    written: str = text()
    normalised: str = text(index=True)
    withdrawn_on: str | None = text(optional=True)


class Supersession(SQLModel, table=True):
    """A number replaced by another on a day; a chain ends at a current one."""

    __tablename__ = "supersession"
    __table_args__ = (
        check("not_by_itself", "old_number_id <> new_number_id"),
        day("superseded_on"),
        day("withdrawn_on"),
        STRICT,
    )

    old_number_id: str = reference("number.id", key=True)
    new_number_id: str = reference("number.id")
    superseded_on: str = text()
    withdrawn_on: str | None = text(optional=True)


class CatalogueState(SQLModel, table=True):
    """One row: a number that grows with every committed change of the catalogue.

    Whatever a process derives from the catalogue compares it to know whether it is still true. `stamp` is
    drawn anew with each version: a copy that is put back counts on from where it was, stamped otherwise.
    """

    __tablename__ = "catalogue_state"
    __table_args__ = (check("single_row", "id = 1"), STRICT)

    id: int = Field(sa_column=Column(WHOLE, primary_key=True, autoincrement=False))
    version: int = whole()
    stamp: str | None = text(optional=True)
