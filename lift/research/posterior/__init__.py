"""What swatches leave open: posterior, its draws and its calibration."""
