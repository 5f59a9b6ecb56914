/*
 * What a builder may change: the sensors' own numbers and the limits that follow from them.
 * Every one that depends on the fitted parts can also be set over the line afterwards and is
 * kept in EEPROM ("sensor", "clamp", "fine", "divider", "supply", "zero", "serial":
 * ../line-protocol.md), so the committed images suit any shunt, Hall sensor or clamp without a compiler.
 */
#ifndef CONFIG_H
#define CONFIG_H

#define FIRMWARE_VERSION "1.1.0"
#define DEFAULT_SERIAL "unset"

/* Supply and ADC reference of the board. The Hall sensor is ratiometric to the same 5 V. */
#define ADC_REFERENCE_V 5.0f
#define ADC_STEPS 1024.0f /* 10 bit: one count is reference / 1024 (ATmega328P datasheet, ADC result) */

/* Volts at the divider's top for one volt at the ADC: two of 49.9 kohm over 15 kohm, 38 V full scale. */
#define DEFAULT_DIVIDER ((2 * 49.9f + 15.0f) / 15.0f)
/* Voltages are sent in 1/16 count: they are reckoned to the current's moment and to the supply. */
#define FINE_STEPS 16

#ifdef SENSOR_ADC
#define LOGGER_NAME "reference logger, ADC"
#define RANGES 1
#define DEFAULT_SENSOR_MV_PER_A 66.0f /* 30 A Hall part; 100 for the 20 A part, 185 for the 5 A part */
#define DEFAULT_FINE_MV_PER_A 66.0f   /* one range only: not used */
#define NOMINAL_ZERO 512              /* half the supply, 0 A */
/* A Hall output is linear to about 0.3 V from either rail: 62 counts. Beyond that it is clipped. */
#define CLIP_LOW 62
#define CLIP_HIGH 962
/* Nothing but the 100 kohm pull-down on the pin: no sensor drives its output below 50 mV. */
#define LOST_BELOW 10
/* Of full scale: a zero is refused above 1 %, a forced one above 25 %. */
#define ZERO_LIMIT 0.01f
#define ZERO_FORCE_LIMIT 0.25f
/* And while readings differ by more than 8 counts, or the two halves of the second by more than one. */
#define ZERO_SPREAD 8
#define ZERO_MOVE 1.0f
#else
#define LOGGER_NAME "reference logger, monitor"
#define RANGES 2
#define DEFAULT_SENSOR_MV_PER_A 2.0f /* coarse shunt, milliohm */
#define DEFAULT_FINE_MV_PER_A 100.0f /* fine shunt, milliohm: only where a second monitor answers */
#define NOMINAL_ZERO 0
#define MONITOR_SHUNT_MV 0.0025f /* monitor chip's shunt step 2.5 uV (TI SBOS547, register table) */
#define MONITOR_BUS_V 0.00125f   /* and its bus step 1.25 mV */
#define COARSE_ADDRESS 0x40      /* both address pins to ground */
#define FINE_ADDRESS 0x41        /* A0 to supply */
/* The bus pin takes 36 V (TI SBOS547); the suppressor of the build guide begins to draw at 31.4 V. */
#define BUS_HIGHEST_V 31.4f
/* Offset of the chip is 4 counts (10 uV) at most, so 40 counts are already a current: far less than 1 % of
   full scale. A forced zero takes 1 %. Noise at the shortest conversions is about 10 counts. */
#define ZERO_LIMIT (40 / 32767.0f)
#define ZERO_FORCE_LIMIT 0.01f
#define ZERO_SPREAD 80
#define ZERO_MOVE 4.0f
/* Fine to coarse at once above 90 % of the fine full scale. Coarse to fine after 2 s below half of
   what the fine shunt can show. Between the two lies the hysteresis. */
#define FINE_LEAVE_COUNTS 29491
#define FINE_ENTER_FRACTION 0.5f
#define FINE_ENTER_MS 2000
/* What the bypass leaves behind: the filter of 20 ohm and 22 uF needs nine of its time constants of 0.44 ms to come
   within a step; the gate takes less than 0.6 ms. */
#define FINE_SETTLING_MS 5
#endif

#define DEBOUNCE_MS 20
/* The 5 V this far beside its value: sensors are outside what they are specified for (a Hall part: 4.5 to 5.5 V). */
#define SUPPLY_OFF_PERCENT 8
#define SUPPLY_OK_PERCENT 5
/* Below 4.0 V nothing is measured: 16 MHz need 3.8 V (datasheet, safe operating area), and boards come with a
   brown-out reset at 2.7 V. From 4.3 V on it goes on. */
#define SUPPLY_DEAD_PERCENT 20
#define SUPPLY_ALIVE_PERCENT 14
/* What a USB port may be off, and more behind a thin cable or an isolator. */
#define SUPPLY_UNSET_PERCENT 10

#endif
