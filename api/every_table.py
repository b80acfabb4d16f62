"""Every table of every slice, so that one import declares them all."""

from sqlmodel import SQLModel

from api.access.tables import AccessKey, AnsweredRequest, AuditEntry
from api.comparison.tables import LabourTime, ShopTerms, UsageFigure, WearLife
from api.offers.tables import Offer, Supplier
from api.records.tables import LearnedValue, MeasuredValue, MeasurementReading, MeasurementRecord
from api.starters.tables import Family, Listing, Position, SeatFeature, Starter
from api.wear_parts.tables import (
    CatalogueState,
    Dimension,
    DimensionChoice,
    Kind,
    Maker,
    Number,
    Part,
    Size,
    SizeValue,
    Supersession,
)

TABLES: tuple[type[SQLModel], ...] = (
    Kind,
    Dimension,
    DimensionChoice,
    Maker,
    Size,
    SizeValue,
    Part,
    Family,
    Position,
    SeatFeature,
    Starter,
    Listing,
    Number,
    Supersession,
    Supplier,
    Offer,
    LabourTime,
    ShopTerms,
    WearLife,
    UsageFigure,
    MeasurementRecord,
    MeasurementReading,
    MeasuredValue,
    LearnedValue,
    AccessKey,
    AnsweredRequest,
    AuditEntry,
    CatalogueState,
)
"""Parents before children."""
