"""Pictures of an estimate as SVG, for documents, pages and print.

Every picture is a whole SVG document with a title and a description in words. Lines and words
take the colour of the page (``currentColor``); nothing is told by colour alone.
"""

from estimator.documents.pictures.leg_load import leg_load_picture
from estimator.documents.pictures.one_line import one_line_picture
from estimator.documents.pictures.panel_schedule import panel_schedule_picture
from estimator.documents.pictures.run_time import run_time_picture
from estimator.documents.pictures.ways import ways_picture

__all__ = [
    "leg_load_picture",
    "one_line_picture",
    "panel_schedule_picture",
    "run_time_picture",
    "ways_picture",
]
