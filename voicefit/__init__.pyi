from voicefit.public import Candidate as Candidate
from voicefit.public import Identification as Identification
from voicefit.public import NextCheck as NextCheck
from voicefit.public import identify as identify

__version__: str
