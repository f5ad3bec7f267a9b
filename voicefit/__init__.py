"""voicefit: hands-free, eyes-free, offline identification of hydraulic hose ends, adapters, ports and flanges."""

__version__ = "0.1.0"
