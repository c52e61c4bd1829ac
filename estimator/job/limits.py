"""Limits and choices that several fields of a job share."""

from typing import get_args

from estimator.job import records
from estimator.job.configurations import all_configurations
from estimator.job.validators import Choice, Form, Size, Within

LENGTH_FT = Within(0, 2000, "ft", above=True)
WATTS = Within(0, 100_000, "W")
SOME_WATTS = Within(0, 100_000, "W", above=True)
AMBIENT_C = Within(-50, 80, "°C")
PERCENT = Within(0, 100, "%")
HOURS = Within(0, 200, "h")
FRACTION = Within(0, 1, above=True)
MONEY = Within(0, 10_000_000)
RATE = Within(0, 10_000, "an hour")
NAME = Size(1, 200, "characters")
SURFACE = Choice(get_args(records.Surface))
MOUNTING = Choice(get_args(records.Mounting))
EXPOSURE = Choice(get_args(records.Exposure))
MATERIAL = Choice(get_args(records.Material))
NODE = Choice(get_args(records.Node))
TERMINAL_C = Choice(get_args(records.TerminalTemperature))
CONFIGURATION = Choice(all_configurations)
WORD_FORM = Form(r"[a-z][a-z0-9_]{0,59}", "lower-case words joined by _, such as occupied_house")
