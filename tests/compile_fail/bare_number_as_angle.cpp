// A bare number is neither degrees nor radians.
// message: conversion from .double. to|no viable conversion
#include "sim/base/units.h"

#ifdef BAD
const sim::Angle downtilt = 6.0;
#else
const sim::Angle downtilt = sim::Angle::degrees(6.0);
#endif
