// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.HashMap;
import java.util.Map;

/**
 * VR and keyword of the tags that this package uses; what it does not know is read as bytes without a meaning.
 *
 * <p>Source: PS3.6, registry of data elements.
 */
final class Dictionary {
    private record Entry(Vr vr, String keyword) {}

    private static final String TEXT = """
            00020000 UL FileMetaInformationGroupLength
            00020001 OB FileMetaInformationVersion
            00020002 UI MediaStorageSOPClassUID
            00020003 UI MediaStorageSOPInstanceUID
            00020010 UI TransferSyntaxUID
            00020012 UI ImplementationClassUID
            00020013 SH ImplementationVersionName
            00080005 CS SpecificCharacterSet
            00080008 CS ImageType
            00080012 DA InstanceCreationDate
            00080013 TM InstanceCreationTime
            00080016 UI SOPClassUID
            00080018 UI SOPInstanceUID
            00080020 DA StudyDate
            00080021 DA SeriesDate
            00080022 DA AcquisitionDate
            00080023 DA ContentDate
            0008002A DT AcquisitionDateTime
            00080030 TM StudyTime
            00080031 TM SeriesTime
            00080032 TM AcquisitionTime
            00080033 TM ContentTime
            00080050 SH AccessionNumber
            00080060 CS Modality
            00080064 CS ConversionType
            00080070 LO Manufacturer
            00080080 LO InstitutionName
            00080090 PN ReferringPhysicianName
            00080100 SH CodeValue
            00080102 SH CodingSchemeDesignator
            00080104 LO CodeMeaning
            00080105 CS MappingResource
            0008010C UI CodingSchemeUID
            00080110 SQ CodingSchemeIdentificationSequence
            00080115 ST CodingSchemeName
            00080116 ST CodingSchemeResponsibleOrganization
            00080119 UC LongCodeValue
            00081010 SH StationName
            00081030 LO StudyDescription
            0008103E LO SeriesDescription
            00081070 PN OperatorsName
            00081090 LO ManufacturerModelName
            00081110 SQ ReferencedStudySequence
            00081111 SQ ReferencedPerformedProcedureStepSequence
            00081115 SQ ReferencedSeriesSequence
            00081140 SQ ReferencedImageSequence
            0008114A SQ ReferencedInstanceSequence
            00081150 UI ReferencedSOPClassUID
            00081155 UI ReferencedSOPInstanceUID
            00081160 IS ReferencedFrameNumber
            00081199 SQ ReferencedSOPSequence
            00082111 ST DerivationDescription
            00082112 SQ SourceImageSequence
            00082218 SQ AnatomicRegionSequence
            00089007 CS FrameType
            00089124 SQ DerivationImageSequence
            00089206 CS VolumetricProperties
            00089207 CS VolumeBasedCalculationTechnique
            00089208 CS ComplexImageComponent
            00089209 CS AcquisitionContrast
            00089215 SQ DerivationCodeSequence
            00100010 PN PatientName
            00100020 LO PatientID
            00100030 DA PatientBirthDate
            00100040 CS PatientSex
            00101010 AS PatientAge
            00101030 DS PatientWeight
            00120062 CS PatientIdentityRemoved
            00120063 LO DeidentificationMethod
            00120064 SQ DeidentificationMethodCodeSequence
            00180010 LO ContrastBolusAgent
            00180015 CS BodyPartExamined
            00180020 CS ScanningSequence
            00180021 CS SequenceVariant
            00180022 CS ScanOptions
            00180023 CS MRAcquisitionType
            00180024 SH SequenceName
            00180050 DS SliceThickness
            00180080 DS RepetitionTime
            00180081 DS EchoTime
            00180082 DS InversionTime
            00180083 DS NumberOfAverages
            00180084 DS ImagingFrequency
            00180085 SH ImagedNucleus
            00180086 IS EchoNumbers
            00180087 DS MagneticFieldStrength
            00180088 DS SpacingBetweenSlices
            00180089 IS NumberOfPhaseEncodingSteps
            00180091 IS EchoTrainLength
            00180095 DS PixelBandwidth
            00181000 LO DeviceSerialNumber
            00181020 LO SoftwareVersions
            00181030 LO ProtocolName
            00181041 DS ContrastBolusVolume
            00181042 TM ContrastBolusStartTime
            00181044 DS ContrastBolusTotalDose
            00181060 DS TriggerTime
            00181250 SH ReceiveCoilName
            00181312 CS InPlanePhaseEncodingDirection
            00181314 DS FlipAngle
            00185100 CS PatientPosition
            00189004 CS ContentQualification
            00189005 SH PulseSequenceName
            00189073 FD AcquisitionDuration
            00189074 DT FrameAcquisitionDateTime
            00189075 CS DiffusionDirectionality
            00189076 SQ DiffusionGradientDirectionSequence
            00189079 FD InversionTimes
            00189082 FD EffectiveEchoTime
            00189087 FD DiffusionBValue
            00189089 FD DiffusionGradientOrientation
            00189112 SQ MRTimingAndRelatedParametersSequence
            00189114 SQ MREchoSequence
            00189115 SQ MRModifierSequence
            00189117 SQ MRDiffusionSequence
            00189151 DT FrameReferenceDateTime
            00189220 FD FrameAcquisitionDuration
            00189226 SQ MRImageFrameTypeSequence
            0020000D UI StudyInstanceUID
            0020000E UI SeriesInstanceUID
            00200010 SH StudyID
            00200011 IS SeriesNumber
            00200012 IS AcquisitionNumber
            00200013 IS InstanceNumber
            00200032 DS ImagePositionPatient
            00200037 DS ImageOrientationPatient
            00200052 UI FrameOfReferenceUID
            00200060 CS Laterality
            00200100 IS TemporalPositionIdentifier
            00200105 IS NumberOfTemporalPositions
            00200110 DS TemporalResolution
            00201002 IS ImagesInAcquisition
            00201040 LO PositionReferenceIndicator
            00201041 DS SliceLocation
            00204000 LT ImageComments
            00209056 SH StackID
            00209057 UL InStackPositionNumber
            00209111 SQ FrameContentSequence
            00209113 SQ PlanePositionSequence
            00209116 SQ PlaneOrientationSequence
            00209128 UL TemporalPositionIndex
            00209156 US FrameAcquisitionNumber
            00209157 UL DimensionIndexValues
            00209164 UI DimensionOrganizationUID
            00209165 AT DimensionIndexPointer
            00209167 AT FunctionalGroupPointer
            00209221 SQ DimensionOrganizationSequence
            00209222 SQ DimensionIndexSequence
            0020930D FD TemporalPositionTimeOffset
            00209311 CS DimensionOrganizationType
            00280002 US SamplesPerPixel
            00280004 CS PhotometricInterpretation
            00280006 US PlanarConfiguration
            00280008 IS NumberOfFrames
            00280010 US Rows
            00280011 US Columns
            00280030 DS PixelSpacing
            00280100 US BitsAllocated
            00280101 US BitsStored
            00280102 US HighBit
            00280103 US PixelRepresentation
            00280106 US SmallestImagePixelValue
            00280107 US LargestImagePixelValue
            00280120 US PixelPaddingValue
            00280301 CS BurnedInAnnotation
            00280303 CS LongitudinalTemporalInformationModified
            00281050 DS WindowCenter
            00281051 DS WindowWidth
            00281052 DS RescaleIntercept
            00281053 DS RescaleSlope
            00281054 LO RescaleType
            00282110 CS LossyImageCompression
            00282112 DS LossyImageCompressionRatio
            00283003 LO LUTExplanation
            00289110 SQ PixelMeasuresSequence
            00289132 SQ FrameVOILUTSequence
            00289145 SQ PixelValueTransformationSequence
            004008EA SQ MeasurementUnitsCodeSequence
            00409096 SQ RealWorldValueMappingSequence
            00409210 SH LUTLabel
            00409211 US RealWorldValueLastValueMapped
            00409216 US RealWorldValueFirstValueMapped
            00409224 FD RealWorldValueIntercept
            00409225 FD RealWorldValueSlope
            0040A010 CS RelationshipType
            0040A040 CS ValueType
            0040A043 SQ ConceptNameCodeSequence
            0040A050 CS ContinuityOfContent
            0040A124 UI UID
            0040A160 UT TextValue
            0040A161 FD FloatingPointValue
            0040A168 SQ ConceptCodeSequence
            0040A170 SQ PurposeOfReferenceCodeSequence
            0040A300 SQ MeasuredValueSequence
            0040A30A DS NumericValue
            0040A372 SQ PerformedProcedureCodeSequence
            0040A375 SQ CurrentRequestedProcedureEvidenceSequence
            0040A491 CS CompletionFlag
            0040A493 CS VerificationFlag
            0040A504 SQ ContentTemplateSequence
            0040A730 SQ ContentSequence
            0040DB00 CS TemplateIdentifier
            00420010 ST DocumentTitle
            00420011 OB EncapsulatedDocument
            00420012 LO MIMETypeOfEncapsulatedDocument
            00420015 UL EncapsulatedDocumentLength
            00620001 CS SegmentationType
            00620002 SQ SegmentSequence
            00620003 SQ SegmentedPropertyCategoryCodeSequence
            00620004 US SegmentNumber
            00620005 LO SegmentLabel
            00620006 ST SegmentDescription
            00620008 CS SegmentAlgorithmType
            00620009 LO SegmentAlgorithmName
            0062000A SQ SegmentIdentificationSequence
            0062000B US ReferencedSegmentNumber
            0062000D US RecommendedDisplayCIELabValue
            0062000E US MaximumFractionalValue
            0062000F SQ SegmentedPropertyTypeCodeSequence
            00620010 CS SegmentationFractionalType
            00620013 CS SegmentsOverlap
            00620020 UT TrackingID
            00620021 UI TrackingUID
            00700080 CS ContentLabel
            00700081 LO ContentDescription
            00700084 PN ContentCreatorName
            30060002 SH StructureSetLabel
            30060004 LO StructureSetName
            30060008 DA StructureSetDate
            30060009 TM StructureSetTime
            30060010 SQ ReferencedFrameOfReferenceSequence
            30060012 SQ RTReferencedStudySequence
            30060014 SQ RTReferencedSeriesSequence
            30060016 SQ ContourImageSequence
            30060020 SQ StructureSetROISequence
            30060022 IS ROINumber
            30060024 UI ReferencedFrameOfReferenceUID
            30060026 LO ROIName
            30060028 ST ROIDescription
            3006002A IS ROIDisplayColor
            30060036 CS ROIGenerationAlgorithm
            30060039 SQ ROIContourSequence
            30060040 SQ ContourSequence
            30060042 CS ContourGeometricType
            30060046 IS NumberOfContourPoints
            30060048 IS ContourNumber
            30060050 DS ContourData
            30060080 SQ RTROIObservationsSequence
            30060082 IS ObservationNumber
            30060084 IS ReferencedROINumber
            300600A4 CS RTROIInterpretedType
            300600A6 PN ROIInterpreter
            300E0002 CS ApprovalStatus
            52009229 SQ SharedFunctionalGroupsSequence
            52009230 SQ PerFrameFunctionalGroupsSequence
            7FE00001 OV ExtendedOffsetTable
            7FE00002 OV ExtendedOffsetTableLengths
            7FE00008 OF FloatPixelData
            7FE00009 OD DoubleFloatPixelData
            7FE00010 OW PixelData
            FFFCFFFC OB DataSetTrailingPadding
            """;

    private static final Map<Integer, Entry> ENTRIES = new HashMap<>();

    static {
        TEXT.lines()
                .map(line -> line.split(" "))
                .forEach(word ->
                        ENTRIES.put(Integer.parseUnsignedInt(word[0], 16), new Entry(Vr.valueOf(word[1]), word[2])));
    }

    private Dictionary() {}

    /** The VR of a tag, {@code UN} if it is not known here. */
    static Vr vr(int tag) {
        Entry entry = ENTRIES.get(tag);
        if (entry != null) return entry.vr();
        if (Tag.element(tag) == 0) return Vr.UL; // PS3.5 7.2: group length
        if (Tag.isPrivate(tag) && Tag.element(tag) >= 0x10 && Tag.element(tag) <= 0xFF) return Vr.LO; // PS3.5 7.8.1
        return Vr.UN;
    }

    /** Empty for a tag that is not known here. */
    static String keyword(int tag) {
        Entry entry = ENTRIES.get(tag);
        return entry == null ? "" : entry.keyword();
    }
}
