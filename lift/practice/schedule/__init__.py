"""When each zone and section goes on, and when it is rinsed."""
