"""How well a drop over several exercises, a stall and a drop of one exercise are found.

Made-up clients with a known course (``simulator``), what a coach's spreadsheet would do
(``simple_rules``), the app's model (``ability_model``), and one way of judging them all
(``scoring``). ``python -m tests.benchmarks.signals`` prints the table.

The clients are made up. The bench compares detectors with each other and with a limit; it
does not say how often any of them will be right on a real roster.
"""
