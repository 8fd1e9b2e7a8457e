"""What results say, show and keep of themselves: behind the door of `lift.results`."""
