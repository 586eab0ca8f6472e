"""Course grid to earth and back: the only rooms that know pyproj."""
