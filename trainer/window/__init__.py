"""The window: screens over the same block as every shell; sizes in logical pixels of 1280 by 720."""
