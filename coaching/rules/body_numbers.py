"""Every number of the body that the load estimates use, with its unit, kind and source."""
