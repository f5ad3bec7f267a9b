"""What makes the counted pages, and the installer of the system's packages. No part of the product."""
